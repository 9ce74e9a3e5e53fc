import { useComputed } from '@preact/signals';
import {
  figure,
  figureUnit,
  hint,
  next,
  phase,
  solid,
  standing,
  step,
  unread,
  word,
} from '../state/bench.ts';

/** A name of more letters than this is written smaller. */
const LONG_NAME = 46;

interface NamesProps {
  readonly title: string;
  readonly lot: string | null;
  readonly parts: readonly string[];
  /** It is to be fetched: its lot is compared with the bottle. */
  readonly fetched?: boolean;
}

function Names({ title, lot, parts, fetched = false }: NamesProps) {
  return (
    <div class={fetched ? 'names fetch' : 'names'}>
      <h2 data-length={title.length > LONG_NAME ? 'long' : 'short'}>{title}</h2>
      <p>
        {lot !== null && (
          <span>
            lot <b class="lot-code">{lot}</b>
          </span>
        )}
        {parts.map((part) => (
          <span key={part}>{part}</span>
        ))}
      </p>
    </div>
  );
}

const belongs = (note: string | null, family: string): string =>
  note === null ? family : `${note} · ${family}`;

/** Name of what is in hand or to be fetched, with its lot and window. */
export function Naming() {
  const fetch = phase.value === 'bottle' ? next.value : null;
  const now = step.value;
  const said = word.value;
  // Once something is captured its own name stays up while the next bottle is announced beside it.
  if (fetch !== null && (now === null || now.title === fetch.title || said === 'fetch the bottle'))
    return (
      <Names
        fetched
        title={fetch.title}
        lot={fetch.lot}
        parts={[belongs(fetch.note, fetch.family), ...(fetch.topUp ? ['top-up'] : []), 'fresh pipette']}
      />
    );
  if (now === null) return <Names title={TITLES[phase.value ?? 'vessel']} lot={null} parts={[]} />;
  return (
    <Names
      title={now.title}
      lot={now.lot}
      parts={[
        belongs(now.note, now.family),
        ...(now.topUp ? ['top-up'] : []),
        now.free === true ? 'without a target' : `window ${now.low} – ${now.high} g`,
      ]}
    />
  );
}

const TITLES = {
  vessel: 'Empty vessel',
  bottle: 'Bottle',
  pouring: 'Pour',
  over: 'Over',
  withdrawing: 'Take out',
  closing: 'Vessel and batch',
  closed: 'As made',
  abandoned: 'Not finished',
} as const;

/** The large figure, hollow while the reading moves and solid once settled, with its word and hint. */
export function Face() {
  const drawn = useComputed(() => (unread.value ? 'absent' : solid.value ? 'solid' : 'hollow'));
  const long = useComputed(() => (word.value.length > 9 ? 'long' : 'short'));
  return (
    <div class="face" data-standing={standing}>
      <p class="face-figure">
        <span class="big" data-drawn={drawn}>
          {figure}
        </span>
        <span class="face-unit">{figureUnit}</span>
      </p>
      <p class="face-side">
        <span class="face-word" data-length={long}>
          {word}
        </span>
        <span class="face-hint">{hint}</span>
      </p>
    </div>
  );
}

/** Tells a change of state once, for those who hear the window: never every reading. */
export function Said() {
  const told = useComputed(() =>
    solid.value
      ? `${figure.value} ${figureUnit.value}, ${word.value}. ${hint.value}`
      : standing.value === 'over'
        ? 'Past the window. Stop.'
        : standing.value === 'inside'
          ? 'Inside the window.'
          : '',
  );
  return (
    <p class="unseen" role="status">
      {told}
    </p>
  );
}
