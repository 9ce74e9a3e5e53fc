import type { ComponentChildren } from 'preact';
import type { PlanView } from '../../electron/host/table.ts';
import { InPlace } from '../parts/in-place.tsx';
import { Press } from '../parts/press.tsx';
import { change, drafting, lastPlan, plan, wrongs } from '../state/planning.ts';
import { Fields } from './fields.tsx';
import { Lines } from './lines.tsx';

function Sum({ made }: { made: PlanView }) {
  const [part] = made.parts;
  return (
    <>
      {made.how !== null && <p class="how">{made.how}</p>}
      <dl class="ledger">
        <div>
          <dt>in all</dt>
          <dd>{made.total} g</dd>
        </div>
        <div>
          <dt>cost</dt>
          <dd>{made.cost ?? 'a bottle has no price'}</dd>
        </div>
        <div>
          <dt>lines</dt>
          <dd>{made.steps.length}</dd>
        </div>
      </dl>
      {made.parts.length > 1 && part !== undefined && (
        <div class="split">
          <p>
            Too much for one vessel on this balance. Pour it in {made.parts.length} parts:{' '}
            <b>{made.parts.map((one) => `${one} g`).join(', ')}</b>
          </p>
          <Press slim onPress={() => void change({ by: 'mass', grams: part })}>
            Plan one part of {part} g
          </Press>
        </div>
      )}
    </>
  );
}

/** What has been chosen by hand can be given back to the program. */
function ByHand() {
  const { lots, order } = drafting.value;
  const bottles = Object.keys(lots).length > 0;
  if (!bottles && order === null) return null;
  return (
    <div class="row">
      {order !== null && (
        <Press slim onPress={() => void change({ order: null })}>
          Order as proposed
        </Press>
      )}
      {bottles && (
        <Press slim onPress={() => void change({ lots: {} })}>
          Bottles as in the formula
        </Press>
      )}
    </div>
  );
}

/** Warnings of the whole plan; those that a line is weighed badly stand with the line. */
function Warnings({ made }: { made: PlanView }) {
  const lines = new Set(made.steps.map((step) => step.line));
  const shown = made.warnings.filter(
    (one) => !(['blind', 'coarse', 'drop'].includes(one.what) && one.line !== null && lines.has(one.line)),
  );
  if (shown.length === 0) return null;
  return (
    <ul class="warnings" aria-label="Before you begin">
      {shown.map((one) => (
        <li key={`${one.line ?? ''} ${one.what} ${one.text}`}>{one.text}</li>
      ))}
    </ul>
  );
}

/** The plan sheet, the same before a batch and in Formulas: size, vessel, cost, warnings, and every line. */
export function PlanSheet({ children }: { children?: ComponentChildren }) {
  const made = plan.value;
  const steps = (made ?? lastPlan.value)?.steps ?? [];
  const elsewhere = wrongs.value.find((one) => one.field === null)?.trouble ?? null;
  return (
    <div class="plan-sheet">
      <Fields>{children}</Fields>
      <InPlace id="told-plan" trouble={elsewhere} />
      {made !== null && <Sum made={made} />}
      {made !== null && <Warnings made={made} />}
      <ByHand />
      {steps.length > 0 && <Lines steps={steps} />}
    </div>
  );
}
