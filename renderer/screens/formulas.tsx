import { useEffect } from 'preact/hooks';
import { FormulaList } from '../formula/list.tsx';
import { FormulaPaper } from '../formula/sheet.tsx';
import { Writing } from '../formula/writing.tsx';
import { found, openFormula, sheet } from '../state/formula.ts';
import { want, wanted } from '../state/planning.ts';
import { route } from '../state/route.ts';
import { fetchWaiting, waiting } from '../state/waiting.ts';
import { fetchFormulas, formulas } from '../state/workshop.ts';

/** Opens the formula that the address names, else the one there was, else what is to be made first. */
async function open(item: string | null): Promise<void> {
  await Promise.all([formulas.value === null ? fetchFormulas() : null, fetchWaiting()]);
  const id = item ?? wanted.value ?? waiting.value?.first ?? formulas.value?.[0]?.id;
  if (id === undefined) return;
  await Promise.all([openFormula(id), want(id)]);
}

function New() {
  return (
    <section class="paper formula" aria-labelledby="formula-name">
      <h2 id="formula-name">New formula</h2>
      <Writing id="" />
    </section>
  );
}

/** Formulas: the list, one formula with its plan and versions, and the editor. */
export function FormulasScreen() {
  const { item, leaf } = route.value;
  const isNew = item === 'new';
  const now = wanted.value;
  useEffect(() => {
    if (!isNew) void open(item);
  }, [item]);
  // A remedy or what waited may bring another formula onto the sheet.
  useEffect(() => {
    if (!isNew && now !== null && sheet.value?.id !== now) void openFormula(now);
  }, [now]);
  const shown = sheet.value;
  return (
    <div class="screen">
      <header class="screen-head">
        <h1>Formulas</h1>
        {found.value !== null && <p class="soft">{found.value.all} in the workshop</p>}
      </header>
      <div class="screen-body sided">
        <FormulaList here={isNew ? null : (shown?.id ?? null)} />
        {isNew ? <New /> : shown !== null && <FormulaPaper sheet={shown} leaf={leaf} />}
      </div>
    </div>
  );
}
