import { type Signal, useSignal } from '@preact/signals';
import { useEffect, useRef } from 'preact/hooks';
import type { PlanView } from '../../electron/host/table.ts';
import { HowGot, Opens } from '../parts/opens.tsx';
import { keepFocus } from '../parts/press.tsx';
import { SurenessShape } from '../parts/shapes.tsx';
import { chooseBottle, drafting, lastPlan, move, plan, wanted } from '../state/planning.ts';
import { Remedies } from './remedies.tsx';

type Step = PlanView['steps'][number];

function Bottle({ step }: { step: Step }) {
  const chosen = drafting.value.lots[step.line] ?? step.lot;
  const known = step.bottles.some((one) => one.code === chosen);
  return (
    <select
      aria-label={`Bottle for ${step.title}`}
      value={chosen}
      onChange={(event) => void chooseBottle(step.line, event.currentTarget.value)}
    >
      {!known && <option value={chosen}>{chosen}</option>}
      {step.bottles.map((one) => (
        <option key={one.code} value={one.code}>
          {one.code} · {one.strength}
          {one.name === step.title ? '' : ` · ${one.name}`}
        </option>
      ))}
    </select>
  );
}

/** The button that was pressed last: the row goes to its new place, and the focus with it. */
interface Moved {
  readonly line: string;
  readonly by: -1 | 1;
}

interface RowProps {
  readonly step: Step;
  readonly at: number;
  readonly count: number;
  readonly moved: Signal<Moved | null>;
}

function Places({ step, at, count, moved }: RowProps) {
  const box = useRef<HTMLTableCellElement>(null);
  useEffect(() => {
    const last = moved.value;
    if (last?.line !== step.line) return;
    const buttons = box.current?.querySelectorAll('button') ?? [];
    const pressed = buttons[last.by < 0 ? 0 : 1];
    (pressed?.disabled === true ? buttons[last.by < 0 ? 1 : 0] : pressed)?.focus();
    // Only the change of place moves the focus.
  }, [at]);
  const shift = (by: -1 | 1) => {
    moved.value = { line: step.line, by };
    void move(step.line, by);
  };
  return (
    <td class="places" ref={box}>
      <button
        type="button"
        class="step-place"
        aria-label={`${step.title} earlier`}
        disabled={at === 0}
        onMouseDown={keepFocus}
        onClick={() => shift(-1)}
      >
        ↑
      </button>
      <button
        type="button"
        class="step-place"
        aria-label={`${step.title} later`}
        disabled={at === count - 1}
        onMouseDown={keepFocus}
        onClick={() => shift(1)}
      >
        ↓
      </button>
    </td>
  );
}

/** Warnings that a line is weighed badly stand with the line; its remedies say the rest. */
const OF_WEIGHING = ['blind', 'coarse', 'drop'];

function Row(props: RowProps) {
  const { step } = props;
  const open = useSignal(false);
  const valid = plan.value !== null;
  const warned = (lastPlan.value?.warnings ?? []).filter(
    (one) => one.line === step.line && OF_WEIGHING.includes(one.what),
  );
  const id = `how-got-${step.line}`;
  return (
    <tbody class="line">
      <tr>
        <Places {...props} />
        <th scope="row">{step.title}</th>
        <td class="bottle-choice">
          <Bottle step={step} />
        </td>
        <td class="mass">
          {valid ? (
            <>
              <Opens figure={`${step.target} g`} of={step.title} open={open} controls={id} />
              <small>
                {step.low} – {step.high}
              </small>
            </>
          ) : (
            '–'
          )}
        </td>
        <td>{valid && <SurenessShape sureness={step.sureness} />}</td>
      </tr>
      <tr class="under" id={id}>
        <td />
        <td colSpan={4}>
          {valid && (
            <>
              <p>
                {warned.map((one) => `${one.text} `)}
                <span class="soft">{step.reason}</span>
              </p>
              {open.value && <HowGot lines={step.workings} />}
              {step.remedies.length > 0 && <Remedies step={step} />}
            </>
          )}
        </td>
      </tr>
    </tbody>
  );
}

/** The lines of the plan in the order of pouring: bottle, target with its window, sureness and what makes it better. */
export function Lines({ steps }: { steps: readonly Step[] }) {
  const moved = useSignal<Moved | null>(null);
  const last = moved.value;
  const place = last === null ? -1 : steps.findIndex((step) => step.line === last.line);
  return (
    <>
      <table class="plan-lines">
        <thead>
          <tr>
            <th scope="col">Order</th>
            <th scope="col">Line</th>
            <th scope="col">Bottle</th>
            <th scope="col" class="mass">
              Target, window
            </th>
            <th scope="col">Sureness</th>
          </tr>
        </thead>
        {steps.map((step, at) => (
          <Row
            key={`${wanted.value ?? ''} ${step.line}`}
            step={step}
            at={at}
            count={steps.length}
            moved={moved}
          />
        ))}
      </table>
      <p class="unseen" role="status">
        {place >= 0 && `${steps[place]?.title ?? ''} is now number ${place + 1} of ${steps.length}.`}
      </p>
    </>
  );
}
