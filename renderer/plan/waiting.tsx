import { Press } from '../parts/press.tsx';
import { want, wanted } from '../state/planning.ts';
import { forgetWaiting, waiting } from '../state/waiting.ts';
import { formulas } from '../state/workshop.ts';

/** The dilution that is made first, and the plan that waits for it. */
export function Waiting() {
  const given = waiting.value;
  if (given === null) return null;
  const then = formulas.value?.find((one) => one.id === given.back.formula)?.name ?? given.back.formula;
  return (
    <section class="waits" aria-label="What waits">
      <p>
        <b>first: {given.name}</b>
        <span>then: {then}</span>
      </p>
      <div class="row">
        {wanted.value !== given.first && (
          <Press slim onPress={() => void want(given.first)}>
            Plan the dilution
          </Press>
        )}
        <Press slim onPress={() => void forgetWaiting()}>
          Wait no longer
        </Press>
      </div>
    </section>
  );
}
