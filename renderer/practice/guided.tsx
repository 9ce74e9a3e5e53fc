import { useComputed } from '@preact/signals';
import { useEffect, useMemo } from 'preact/hooks';
import { InPlace } from '../parts/in-place.tsx';
import { Press } from '../parts/press.tsx';
import { scrolls } from '../parts/scrolls.ts';
import { LinkShape } from '../parts/shapes.tsx';
import { Pipette } from '../pour/pipette.tsx';
import { Trace } from '../pour/trace.tsx';
import { Typed } from '../pour/typed.tsx';
import { press } from '../state/balance.ts';
import { display, link, linkMessage, linkWhat, live, moving, simulated, typed } from '../state/bench.ts';
import { answer, doStep, goOn, type Lesson, leaveLesson, refusedStep } from '../state/lesson.ts';
import { useGuidedKeys } from './keys.ts';

function Steps({ now }: { now: Lesson }) {
  return (
    <section class="ladder guided-steps" aria-label="Steps" {...scrolls}>
      <ol>
        {now.steps.map((step) => (
          <li
            key={step.id}
            class={`rung ${step.state}`}
            aria-current={step.state === 'now' ? 'step' : undefined}
          >
            <span class="rung-name">
              <span class="rung-title">{step.says}</span>
            </span>
            <span class="rung-figure">{step.figure ?? ''}</span>
          </li>
        ))}
      </ol>
    </section>
  );
}

/** The balance's own figure, hollow while it moves and solid at rest. */
function Display() {
  const figure = useComputed(() => live.value.figure ?? '–');
  const unit = useComputed(() => live.value.unit);
  const drawn = useComputed(() =>
    live.value.figure === null ? 'absent' : moving.value ? 'hollow' : 'solid',
  );
  return (
    <div class="face" data-standing="none">
      <p class="face-figure">
        <span class="big" data-drawn={drawn}>
          {figure}
        </span>
        <span class="face-unit">{unit}</span>
      </p>
    </div>
  );
}

/** Why the display shows nothing to read by; the lesson goes on once it does. */
function Away() {
  const lost = useComputed(() => link.value === 'lost' || link.value === 'silent');
  const away = useComputed(() => lost.value || live.value.range !== 'inside');
  const why = useComputed(() =>
    lost.value ? (linkMessage.value ?? 'The balance shows nothing.') : `The balance is ${display.value}.`,
  );
  return (
    <div class="alert" role="alert">
      {away.value && <p class="notice stop">{why} The lesson goes on when it shows a figure again.</p>}
    </div>
  );
}

function Answer({ now }: { now: NonNullable<Lesson['now']> }) {
  if (now.options.length > 0)
    return (
      <div class="row">
        {now.options.map(({ value, says }) => (
          <Press key={value} onPress={() => void doStep(value)}>
            {says}
          </Press>
        ))}
      </div>
    );
  return (
    <form
      class="answer"
      onSubmit={(event) => {
        event.preventDefault();
        void doStep(answer.value);
      }}
    >
      <label>
        {now.unit === '' ? 'Answer' : `Answer, ${now.unit}`}
        <input
          type="text"
          inputMode="decimal"
          autoComplete="off"
          maxLength={20}
          ref={(element) => element?.focus({ preventScroll: true })}
          value={answer}
          onInput={(event) => {
            answer.value = event.currentTarget.value;
          }}
        />
      </label>
      <button type="submit" class="press primary">
        {now.label}
      </button>
    </form>
  );
}

function GuidedBar({ now }: { now: Lesson }) {
  const step = now.now;
  return (
    <footer class="bar">
      <div class="bar-actions">
        {step === null ? (
          <Press primary keyName="Space" onPress={() => void goOn()}>
            To the feedback
          </Press>
        ) : (
          step.does !== 'answer' && (
            <Press primary keyName="Space" onPress={() => void goOn()}>
              {step.label}
            </Press>
          )
        )}
        <Press keyName="Z" onPress={() => void press('zero')}>
          Zero key
        </Press>
        <Press keyName="T" onPress={() => void press('tare')}>
          Tare key
        </Press>
      </div>
      <div class="bar-end">
        <Press slim onPress={() => void leaveLesson()}>
          Break off
        </Press>
      </div>
    </footer>
  );
}

/** A lesson of guided steps: what to do now, the display, and the hands of the simulated balance. */
export function GuidedBench({ now }: { now: Lesson }) {
  const step = now.now;
  const keys = useMemo(
    () => ({
      primary: () => void goOn(),
      zero: () => void press('zero'),
      tare: () => void press('tare'),
      liquid: now.liquid,
    }),
    [now.liquid],
  );
  useGuidedKeys(keys);
  useEffect(() => {
    answer.value = '';
  }, [step?.step]);
  return (
    <div class="pour practising guided">
      <header class="bench-head">
        <h1>{now.title}</h1>
        <span>{now.learner}</span>
        <span class="bench-balance">
          {linkWhat.value}
          {link.value !== 'none' && <LinkShape link={link.value} />}
        </span>
      </header>
      <div class="bench">
        <aside class="bench-side">
          <Steps now={now} />
          {simulated.value && <Pipette keyed what={now.object} liquid={now.liquid} />}
          {typed.value && <Typed keyed={false} />}
        </aside>
        <div class="bench-main">
          <Away />
          <p class="guided-now" role="status">
            {step === null ? 'Every step is done.' : step.says}
          </p>
          <InPlace id="told-step" trouble={refusedStep.value} />
          {step?.does === 'answer' && <Answer now={step} />}
          <Display />
          <Trace />
        </div>
        <GuidedBar now={now} />
      </div>
    </div>
  );
}
