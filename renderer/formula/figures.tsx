import { Press } from '../parts/press.tsx';
import { figures } from '../state/formula.ts';
import { change } from '../state/planning.ts';

/** Cost of a batch, and the smallest one that is surely weighed. */
export function FormulaFigures() {
  const now = figures.value;
  if (now === null) return null;
  if (now.trouble !== null)
    return (
      <p class="in-place" role="status">
        <strong>{now.trouble.what}</strong> {now.trouble.next}
      </p>
    );
  const { cost, sure } = now;
  return (
    <section class="formula-figures" aria-label="Figures of the formula">
      <dl class="ledger">
        <div>
          <dt>cost of {now.batch} g</dt>
          <dd>{cost?.batch ?? '–'}</dd>
        </div>
        <div>
          <dt>cost of 100 g</dt>
          <dd>{cost?.per100 ?? '–'}</dd>
        </div>
        <div>
          <dt>smallest sure batch</dt>
          <dd>{sure === null ? 'none' : `${sure} g`}</dd>
        </div>
      </dl>
      {cost !== null && cost.missing.length > 0 && (
        <p class="soft">Without {cost.missing.join(', ')}: no price is entered there.</p>
      )}
      {sure === null ? (
        <p class="soft">The calibration of this balance alone takes up the tolerance, at any batch size.</p>
      ) : (
        <Press slim onPress={() => void change({ by: 'sure' })}>
          Plan the smallest sure batch
        </Press>
      )}
    </section>
  );
}
