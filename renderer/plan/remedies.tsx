import type { PlanView } from '../../electron/host/table.ts';
import { tied } from '../figures/tied.ts';
import { InPlace } from '../parts/in-place.tsx';
import { keepFocus } from '../parts/press.tsx';
import { SurenessShape } from '../parts/shapes.tsx';
import { plan, remedyTrouble } from '../state/planning.ts';
import { applyRemedy, waiting } from '../state/waiting.ts';

type Step = PlanView['steps'][number];
type Remedy = Step['remedies'][number];

/** Whether a remedy can be applied now: one plan waits at a time, so a second dilution has to wait its turn. */
const canApply = ({ applies, kind }: Remedy): boolean =>
  applies && (kind !== 'dilution' || waiting.value === null);

/** Ways to weigh a line more surely, in rank; one that can be applied from here is a button. */
export function Remedies({ step }: { step: Step }) {
  const told = remedyTrouble.value;
  return (
    <>
      <ul class="remedies" aria-label={`Ways to weigh ${step.title} more surely`}>
        {step.remedies.map((remedy, at) => (
          <li key={remedy.text}>
            {canApply(remedy) ? (
              <button
                type="button"
                class="remedy"
                disabled={plan.value === null}
                onMouseDown={keepFocus}
                onClick={() => void applyRemedy(step.line, at)}
              >
                <span>{tied(remedy.text)}</span>
                <SurenessShape sureness={remedy.sureness} />
              </button>
            ) : (
              <p class="remedy elsewhere">
                <span>
                  {tied(remedy.text)}
                  {remedy.applies && ' A plan waits for another dilution already.'}
                </span>
                <SurenessShape sureness={remedy.sureness} />
              </p>
            )}
          </li>
        ))}
      </ul>
      <InPlace
        id={`told-remedy-${step.line}`}
        trouble={told !== null && told.line === step.line ? told.trouble : null}
      />
    </>
  );
}
