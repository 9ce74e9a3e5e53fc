import type { PlanView } from '../../electron/host/table.ts';
import { SurenessShape } from '../parts/shapes.tsx';
import { Workings } from '../parts/workings.tsx';

/** The plan: what is poured of which lot, its window, and how sure the balance can weigh it. */
export function PlanTable({ plan }: { plan: PlanView }) {
  return (
    <>
      {plan.how !== null && <p class="soft">{plan.how}</p>}
      {plan.parts.length > 1 && (
        <p>
          In {plan.parts.length} parts: {plan.parts.join(' g + ')} g.
        </p>
      )}
      {plan.warnings.length > 0 && (
        <ul class="warnings" aria-label="Before you begin">
          {plan.warnings.map((warning) => (
            <li key={`${warning.line ?? ''} ${warning.what} ${warning.text}`}>{warning.text}</li>
          ))}
        </ul>
      )}
      <table>
        <thead>
          <tr>
            <th scope="col">Line</th>
            <th scope="col">Lot</th>
            <th scope="col" class="mass">
              Target
            </th>
            <th scope="col" class="mass">
              Window
            </th>
            <th scope="col">Sureness</th>
          </tr>
        </thead>
        <tbody>
          {plan.steps.map((step) => (
            <tr key={step.line}>
              <th scope="row">
                {step.title}
                <Workings title={step.reason} lines={step.workings} />
                <Workings
                  title="Ways to be surer"
                  lines={step.remedies.map((remedy) => `${remedy.text} (${remedy.sureness})`)}
                />
              </th>
              <td class="soft">{step.lot}</td>
              <td class="mass">{step.target} g</td>
              <td class="mass soft">
                {step.low} – {step.high}
              </td>
              <td>
                <SurenessShape sureness={step.sureness} />
                {step.dropTooLarge && <small>a drop is wider than the window</small>}
              </td>
            </tr>
          ))}
        </tbody>
      </table>
    </>
  );
}
