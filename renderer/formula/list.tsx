import { useEffect } from 'preact/hooks';
import { Waiting } from '../plan/waiting.tsx';
import { findFormulas, found, words } from '../state/formula.ts';
import { want } from '../state/planning.ts';
import { fragmentOf } from '../state/route.ts';
import { isKept } from '../state/writing.ts';

/** Every formula, found as one types by its name or by what is in it. */
export function FormulaList({ here }: { here: string | null }) {
  useEffect(() => void findFormulas(), []);
  const told = found.value;
  return (
    <div class="list-side">
      <search class="search">
        <label>
          <span class="search-name">
            Find a formula
            {told !== null && (
              <span role="status">
                {told.found === told.all ? `${told.all}` : `${told.found} of ${told.all}`}
              </span>
            )}
          </span>
          <input
            type="search"
            autoComplete="off"
            placeholder="name or material"
            maxLength={200}
            value={words.value}
            onInput={(event) => {
              words.value = event.currentTarget.value;
              void findFormulas();
            }}
          />
        </label>
      </search>
      <p class="list-new">
        <a class="press slim" href={fragmentOf('formulas', 'new')}>
          New formula
        </a>
        {isKept('') && <small>one is begun</small>}
      </p>
      <Waiting />
      <nav class="list" aria-label="Formulas">
        {told?.rows.map((one) => (
          <a
            key={one.id}
            href={fragmentOf('formulas', one.id)}
            aria-current={one.id === here ? 'true' : undefined}
            onClick={() => void want(one.id)}
          >
            <b>{one.name}</b>
            <small>
              {one.lines} materials · {one.batch} g{one.version > 1 ? ` · version ${one.version}` : ''}
            </small>
          </a>
        ))}
        {told !== null && told.rows.length === 0 && <p class="soft">Nothing by these words.</p>}
        {told !== null && told.rows.length < told.found && (
          <p class="soft">{told.found - told.rows.length} more: type more of the name.</p>
        )}
      </nav>
    </div>
  );
}
