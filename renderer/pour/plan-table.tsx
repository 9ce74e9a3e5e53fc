import type { PlanView } from '../../electron/host/table.ts';
import { SurenessShape } from '../parts/shapes.tsx';

/** The plan: what is poured of which lot, its window, and how sure the balance can weigh it. */
export function PlanTable({ plan }: { plan: PlanView }) {
  return (
    <>
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
                <small>{step.reason}</small>
              </th>
              <td class="soft">{step.lot}</td>
              <td class="mass">{step.target} g</td>
              <td class="mass soft">
                {step.low} – {step.high}
              </td>
              <td>
                <SurenessShape sureness={step.sureness} />
              </td>
            </tr>
          ))}
        </tbody>
      </table>
    </>
  );
}
