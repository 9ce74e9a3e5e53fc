import { useEffect } from 'preact/hooks';
import { CheckLine } from '../care/check-line.tsx';
import { momentText } from '../figures/moment.ts';
import { Press } from '../parts/press.tsx';
import { PlanSheet } from '../plan/sheet.tsx';
import { Waiting } from '../plan/waiting.tsx';
import { link } from '../state/bench.ts';
import {
  draft,
  fresh,
  interrupted,
  plan,
  startBatch,
  starting,
  takeUp,
  want,
  wanted,
} from '../state/planning.ts';
import { showSheetOf } from '../state/pour-sheet.ts';
import { operator } from '../state/preferences.ts';
import { fetchUnfinished } from '../state/records.ts';
import { fragmentOf } from '../state/route.ts';
import { fetchWaiting, waiting } from '../state/waiting.ts';
import { fetchFormulas, formulas } from '../state/workshop.ts';

function Formulas() {
  const all = formulas.value ?? [];
  return (
    <fieldset class="picks">
      <legend>Formula</legend>
      {all.map((formula) => (
        <label class="pick formula-pick" key={formula.id}>
          <input
            type="radio"
            name="formula"
            checked={wanted.value === formula.id}
            onChange={() => void want(formula.id)}
          />
          <span>
            <b>{formula.name}</b>
            <small>
              {formula.lines} lines · {formula.batch} g
            </small>
          </span>
        </label>
      ))}
    </fieldset>
  );
}

function Interrupted() {
  const open = interrupted.value;
  if (open.length === 0) return null;
  return (
    <section class="interrupted" aria-labelledby="interrupted">
      <h2 id="interrupted">Interrupted</h2>
      <ul>
        {open.map((row) => (
          <li key={row.batch}>
            <span>
              <b>{row.name}</b>
              <small>begun {momentText(row.started)}</small>
            </span>
            <Press slim onPress={() => void takeUp(row.batch)}>
              Take up again
            </Press>
          </li>
        ))}
      </ul>
    </section>
  );
}

function PouredBy() {
  return (
    <label class="wide">
      Poured by
      <input
        type="text"
        autoComplete="off"
        maxLength={80}
        value={operator}
        onInput={(event) => {
          operator.value = event.currentTarget.value;
        }}
      />
    </label>
  );
}

/** The plan as it is, as a sheet to carry where no computer goes. */
function printSheet(): void {
  const planned = draft();
  if (planned === null) return;
  showSheetOf(planned);
  location.hash = fragmentOf('pour', 'sheet');
}

/** Before a pour: formula, batch size, the plan with how sure each line is, and what was interrupted. */
export function Before() {
  useEffect(() => {
    void fetchUnfinished();
    void Promise.all([fetchFormulas(), fetchWaiting()]).then(() => {
      const first = wanted.value ?? waiting.value?.first ?? formulas.value?.[0]?.id;
      return first === undefined ? undefined : want(first);
    });
  }, []);
  return (
    <div class="before">
      <div class="before-side">
        <CheckLine />
        <Interrupted />
        <Waiting />
        <Formulas />
      </div>
      <section class="planned" aria-label="Plan">
        <PlanSheet>
          <PouredBy />
        </PlanSheet>
      </section>
      <footer class="bar">
        <div class="bar-actions">
          <Press primary disabled={!fresh.value || starting.value} onPress={() => void startBatch()}>
            Start the batch
          </Press>
          <Press disabled={!fresh.value} onPress={printSheet}>
            Print a pour sheet
          </Press>
          <Press
            onPress={() => {
              location.hash = fragmentOf('pour', 'typed-in');
            }}
          >
            Type in a pour sheet
          </Press>
        </div>
        <p class="bar-said">
          {link.value === 'none' ? (
            <>
              No balance is chosen yet. <a href={fragmentOf('balance')}>Choose one</a>
            </>
          ) : plan.value === null ? (
            ''
          ) : (
            `${plan.value.steps.length} lines, ${plan.value.total} g in all`
          )}
        </p>
      </footer>
    </div>
  );
}
