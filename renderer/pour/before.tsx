import { useEffect } from 'preact/hooks';
import { momentText } from '../figures/moment.ts';
import { Press } from '../parts/press.tsx';
import { link } from '../state/bench.ts';
import {
  interrupted,
  plan,
  planTrouble,
  planWanted,
  size,
  startBatch,
  starting,
  takeUp,
  wanted,
} from '../state/planning.ts';
import { operator } from '../state/preferences.ts';
import { fetchRecords } from '../state/records.ts';
import { fragmentOf } from '../state/route.ts';
import { fetchFormulas, formulas } from '../state/workshop.ts';
import { PlanTable } from './plan-table.tsx';

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
            onChange={() => {
              wanted.value = formula.id;
              size.value = '';
              void planWanted();
            }}
          />
          <span>
            <b>{formula.name}</b>
            <small>
              {formula.lines.length} lines · {formula.batch} g
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

function Order() {
  const formula = (formulas.value ?? []).find((one) => one.id === wanted.value);
  return (
    <div class="order">
      <label>
        Batch size, g
        <input
          type="text"
          inputMode="decimal"
          autoComplete="off"
          placeholder={formula?.batch ?? ''}
          value={size}
          onInput={(event) => {
            size.value = event.currentTarget.value;
            void planWanted();
          }}
        />
      </label>
      <label>
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
    </div>
  );
}

function Planned() {
  const wrong = planTrouble.value;
  return (
    <section class="planned" aria-label="Plan">
      <Order />
      <div aria-live="polite">
        {wrong !== null && (
          <div class="in-place">
            <p>
              <strong>{wrong.what}</strong>
            </p>
            {wrong.where !== null && <p class="soft">{wrong.where}</p>}
            <p>{wrong.next}</p>
          </div>
        )}
      </div>
      {plan.value !== null && <PlanTable plan={plan.value} />}
    </section>
  );
}

/** Before a pour: formula, batch size, the plan with how sure each line is, and what was interrupted. */
export function Before() {
  useEffect(() => {
    void fetchRecords();
    void fetchFormulas().then(() => {
      if (wanted.value === null) wanted.value = formulas.value?.[0]?.id ?? null;
      return planWanted();
    });
  }, []);
  return (
    <form
      class="before"
      onSubmit={(event) => {
        event.preventDefault();
        void startBatch();
      }}
    >
      <div class="before-side">
        <Interrupted />
        <Formulas />
      </div>
      <Planned />
      <footer class="bar">
        <div class="bar-actions">
          <button type="submit" class="press primary" disabled={plan.value === null || starting.value}>
            Start the batch
          </button>
        </div>
        <p class="bar-said">
          {link.value === 'none' ? (
            <>
              No balance is chosen yet. <a href={fragmentOf('balance')}>Choose one</a>
            </>
          ) : plan.value === null ? (
            ''
          ) : (
            `${plan.value.steps.length} lines, ${plan.value.total} g in all${plan.value.cost === null ? '' : `, costs ${plan.value.cost}`}`
          )}
        </p>
      </footer>
    </form>
  );
}
