import type { ChoiceView } from '../../electron/host/table.ts';
import { keyLabel } from '../figures/keys.ts';
import { tied } from '../figures/tied.ts';
import { keepFocus, Press } from '../parts/press.tsx';
import { choices } from '../state/bench.ts';
import { detailed } from '../state/detail.ts';
import { primary, take } from '../state/doing.ts';
import { connection } from '../state/host.ts';

/** What each line gets more than was planned; a minus is what it gets less. */
function Extras({ lines }: { lines: NonNullable<ChoiceView['lines']> }) {
  if (lines.length === 0) return <span class="choice-point">every line as planned</span>;
  return (
    <span class="choice-lines">
      {lines.map((line) => (
        <span key={line.title}>
          <span>{tied(line.title)}</span>
          <b class="mass">
            {line.extra.startsWith('-') ? tied(`\u2212${line.extra.slice(1)} g`) : tied(`+${line.extra} g`)}
          </b>
        </span>
      ))}
    </span>
  );
}

function Card({ choice, first }: { choice: ChoiceView; first: boolean }) {
  return (
    <button
      type="button"
      class={`choice${first ? ' first' : ''}`}
      disabled={!choice.possible || connection.value !== 'open'}
      aria-keyshortcuts={choice.key === '' ? undefined : choice.key}
      title={choice.points.join('\n')}
      onMouseDown={keepFocus}
      onClick={() => take(choice)}
    >
      {choice.key !== '' && (
        <span class="key" aria-hidden="true">
          {keyLabel(choice.key)}
        </span>
      )}
      <span class="choice-title">{choice.title}</span>
      <span class="choice-headline">{tied(choice.headline)}</span>
      <span class="choice-points">
        {choice.why !== null && <span class="choice-why">{choice.why}</span>}
        {detailed.value && choice.lines !== undefined ? (
          <Extras lines={choice.lines} />
        ) : (
          choice.points.map((point) => (
            <span class="choice-point" key={point}>
              {tied(point)}
            </span>
          ))
        )}
      </span>
    </button>
  );
}

/** The three that are always there; what else applies stands below them, smaller. */
const ALWAYS: readonly ChoiceView['kind'][] = ['least', 'exact', 'keep'];

/** Over: the choices at once, each with what it costs. */
export function Choices() {
  const always = choices.value.filter((one) => ALWAYS.includes(one.kind));
  const further = choices.value.filter((one) => !ALWAYS.includes(one.kind));
  return (
    <section class="onward" aria-label="How to go on">
      <div class="choices">
        {always.map((choice) => (
          <Card key={choice.kind} choice={choice} first={primary.value?.choice === choice.kind} />
        ))}
      </div>
      {further.length > 0 && (
        <div class="further">
          {further.map((choice) => (
            <Card key={choice.kind} choice={choice} first={false} />
          ))}
        </div>
      )}
    </section>
  );
}

/** Shows on the cards what each line gets, or again what each costs. */
export function Detail() {
  if (!choices.value.some((one) => (one.lines?.length ?? 0) > 0)) return null;
  return (
    <Press
      slim
      keyName="L"
      onPress={() => {
        detailed.value = !detailed.value;
      }}
    >
      {detailed.value ? 'What each costs' : 'Line by line'}
    </Press>
  );
}
