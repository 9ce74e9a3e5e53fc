import { useComputed } from '@preact/signals';
import { useEffect, useLayoutEffect, useRef } from 'preact/hooks';
import { Tick } from '../parts/form.tsx';
import { Press } from '../parts/press.tsx';
import { Typed } from '../pour/typed.tsx';
import { press } from '../state/balance.ts';
import { live, moving, shows, simulated, typed } from '../state/bench.ts';
import { act, adjustWrongly, care, follow, type RunView, weight } from '../state/care.ts';
import { connection } from '../state/host.ts';
import { dropOne, vessel } from '../state/pipette.ts';
import { useCheckKeys } from './keys.ts';
import { Found, Rules } from './past.tsx';
import { VerdictShape } from './verdict.tsx';

/** The figure of the balance, hollow while it moves, legible from where the hand works. */
function Figure({ word }: { readonly word: string }) {
  const drawn = useComputed(() => (!shows.value ? 'absent' : moving.value ? 'hollow' : 'solid'));
  const figure = useComputed(() => live.value.figure ?? '–');
  return (
    <div class="face" data-standing="none">
      <p class="face-figure">
        <span class="big" data-drawn={drawn}>
          {figure}
        </span>
        <span class="face-unit">{live.value.unit}</span>
      </p>
      <p class="face-side">
        <span class="face-word" data-length={word.length > 9 ? 'long' : 'short'}>
          {word}
        </span>
      </p>
    </div>
  );
}

const WEIGHTS: readonly string[] = ['10', '20', '50', '100'];

/** The hands of the simulated balance: weights where the step wants them, or any other, and its own faults. */
function SimulatedHands({ now }: { readonly now: RunView }) {
  const wanted = now.load ?? care.value?.profile.weight?.parts[0] ?? null;
  return (
    <section class="pipette" aria-label="Weights of the simulated balance">
      <h2>Simulated balance</h2>
      <div class="pipette-keys">
        {now.kind === 'drops' ? (
          <>
            <Press slim onPress={() => void vessel(true)}>
              Vessel on
            </Press>
            <Press slim onPress={() => void dropOne()}>
              One drop
            </Press>
          </>
        ) : (
          (wanted === null || WEIGHTS.includes(wanted) ? WEIGHTS : [wanted, ...WEIGHTS]).map((g) => (
            <Press key={g} slim onPress={() => void weight(g, placeOf(now))}>
              {g} g on
            </Press>
          ))
        )}
        <Press slim onPress={() => void weight(null, 'centre')}>
          Take off
        </Press>
      </div>
      <Tick
        label="Adjusted wrongly, by 0.1 %"
        on={care.value?.simulatedWrong === true}
        onTick={(on) => void adjustWrongly(on)}
      />
    </section>
  );
}

type Place = NonNullable<Parameters<typeof weight>[1]>;
const PLACES: readonly Place[] = ['centre', 'front left', 'front right', 'back right', 'back left'];
const placeOf = ({ place }: RunView): Place => PLACES.find((one) => one === place) ?? 'centre';

/** What was taken; the latest figure is always in sight. */
function Taken({ now }: { readonly now: RunView }) {
  const list = useRef<HTMLElement>(null);
  useLayoutEffect(() => {
    if (list.current !== null) list.current.scrollTop = list.current.scrollHeight;
  }, [now.taken.length]);
  return (
    <section class="taken" aria-label="Figures so far" ref={list}>
      <h2>{now.title}</h2>
      <ol>
        {now.taken.map((one, i) => (
          <li key={i} data-void={one.void !== null}>
            <span>
              {one.label}
              {one.void !== null && <small>does not count: {one.void}</small>}
            </span>
            <b>{one.g} g</b>
          </li>
        ))}
      </ol>
    </section>
  );
}

const WORD: Readonly<Record<'pass' | 'doubtful' | 'fail', string>> = {
  pass: 'It passes.',
  doubtful: 'It is doubtful.',
  fail: 'It fails.',
};

/** What came of it, with the published rules beside it. */
function Ended({ now }: { readonly now: RunView }) {
  const { result } = now;
  if (result === null)
    return (
      <div class="check-end">
        <h2>Stopped</h2>
        <p>What was taken is kept; it does not count as a check.</p>
      </div>
    );
  return (
    <div class="check-end">
      <h2>
        <VerdictShape verdict={result.verdict} says={WORD[result.verdict]} />
      </h2>
      <p>{result.text}</p>
      <Found result={result} />
    </div>
  );
}

/** Where on the pan it should stand, seen from above, the front at the bottom. */
function Pan({ place }: { readonly place: string }) {
  const across = place.includes('left') ? 30 : place.includes('right') ? 70 : 50;
  const along = place.includes('front') ? 70 : place.includes('back') ? 30 : 50;
  return (
    <svg class="pan" viewBox="0 0 100 112" aria-hidden="true">
      <rect class="hollow" x="3" y="3" width="94" height="94" rx="12" />
      <path class="hollow" d="M50 42V58M42 50H58" />
      <circle cx={across} cy={along} r="15" />
      <path class="hollow" d="M34 108H66" />
    </svg>
  );
}

/** What is done now, to be read from where the hand works; how it goes on stands smaller below. */
function Step({ now }: { readonly now: RunView }) {
  const { step } = now;
  if (step === null) return null;
  const [does = '', ...goesOn] = step.says.split(/(?<=\.) /);
  return (
    <div class="check-step">
      <p class="soft">
        Step {step.number} of {step.of}: {step.label}
      </p>
      <h2>{does}</h2>
      <p class="goes-on">{goesOn.join(' ')}</p>
      {step.number === 1 && (
        <ul class="reminders">
          {care.value?.reminders.map((one) => (
            <li key={one}>{one}</li>
          ))}
        </ul>
      )}
    </div>
  );
}

function Bar({ now }: { readonly now: RunView }) {
  return (
    <footer class="bar">
      <div class="bar-actions">
        {now.actions.map((one) => (
          <Press
            key={one.do}
            primary={one.primary}
            keyName={one.key}
            disabled={!one.enabled || connection.value !== 'open'}
            onPress={() => void act(one.do)}
          >
            {one.label}
          </Press>
        ))}
        {now.step?.number === 1 && now.taken.length === 0 && !typed.value && (
          <Press keyName="Z" disabled={live.value.link !== 'live'} onPress={() => void press('zero')}>
            Zero
          </Press>
        )}
      </div>
    </footer>
  );
}

/** A guided check: what to do now, the live figure, what is wrong, and what was taken. */
export function Checking({ now }: { readonly now: RunView }) {
  useCheckKeys();
  useEffect(follow, []);
  const under = now.step !== null;
  const word = !shows.value ? 'no reading' : typed.value ? 'typed' : moving.value ? 'moving' : 'settled';
  return (
    <div class="bench check-bench">
      <aside class="bench-side">
        <Taken now={now} />
        {simulated.value && under && <SimulatedHands now={now} />}
        {typed.value && under && <Typed keyed={false} />}
      </aside>
      <div class="bench-main">
        <div class="alert" role="alert">
          {now.trouble !== null && <p class="notice caution">{now.trouble}</p>}
        </div>
        {under ? (
          <>
            <div role="status">
              <Step now={now} />
            </div>
            <Figure word={word} />
            {now.watch !== null && <p class="check-watch">{now.watch}</p>}
            <div class="check-beside">
              {now.kind === 'eccentricity' && now.step?.number !== 1 && <Pan place={now.place} />}
              <Rules rules={now.rules} />
            </div>
          </>
        ) : (
          <Ended now={now} />
        )}
      </div>
      <Bar now={now} />
    </div>
  );
}
