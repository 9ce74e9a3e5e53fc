import { useEffect } from 'preact/hooks';
import type { FormulaView } from '../../electron/host/table.ts';
import { Press } from '../parts/press.tsx';
import { PlanSheet } from '../plan/sheet.tsx';
import { Waiting } from '../plan/waiting.tsx';
import { underWay } from '../state/bench.ts';
import { fresh, want, wanted } from '../state/planning.ts';
import { fragmentOf, route } from '../state/route.ts';
import { fetchWaiting, waiting } from '../state/waiting.ts';
import { fetchFormulas, formulas } from '../state/workshop.ts';

function Sheet({ formula }: { formula: FormulaView }) {
  return (
    <section class="paper" aria-labelledby="formula-name">
      <h2 id="formula-name">{formula.name}</h2>
      <p class="soft">
        batch {formula.batch} g · tolerance {formula.tolerance}
      </p>
      <table>
        <thead>
          <tr>
            <th scope="col">Material</th>
            <th scope="col">Note</th>
            <th scope="col">Family</th>
            <th scope="col">Lot</th>
            <th scope="col" class="mass">
              Neat
            </th>
          </tr>
        </thead>
        <tbody>
          {formula.lines.map((line) => (
            <tr key={line.id}>
              <th scope="row">{line.material}</th>
              <td class="soft">{line.note ?? ''}</td>
              <td class="soft">{line.family}</td>
              <td class="soft">{line.lot}</td>
              <td class="mass">{line.qs ? 'q.s.' : line.percent}</td>
            </tr>
          ))}
        </tbody>
      </table>
      <h3 class="caption">Plan</h3>
      <PlanSheet />
      <p class="row paper-foot">
        <Press
          primary
          disabled={underWay.value || !fresh.value}
          onPress={() => {
            location.hash = fragmentOf('pour');
          }}
        >
          Pour this plan
        </Press>
        {underWay.value && <span class="soft">A batch is on the bench.</span>}
      </p>
    </section>
  );
}

/** Puts the formula that the address names onto the sheet, else the one there was, else what is to be made first. */
async function open(item: string | null): Promise<void> {
  const first = item ?? wanted.value ?? waiting.value?.first ?? formulas.value?.[0]?.id;
  const found = formulas.value?.find((one) => one.id === first);
  if (found !== undefined) await want(found.id);
}

/** Formulas: the list, the lines of one, and its plan. */
export function FormulasScreen() {
  const { item } = route.value;
  useEffect(() => void Promise.all([fetchFormulas(), fetchWaiting()]).then(() => open(item)), [item]);
  const all = formulas.value ?? [];
  const shown = all.find((one) => one.id === wanted.value);
  return (
    <div class="screen">
      <header class="screen-head">
        <h1>Formulas</h1>
      </header>
      <div class="screen-body sided">
        <div class="list-side">
          <Waiting />
          <nav class="list" aria-label="Formulas">
            {all.map((one) => (
              <a
                key={one.id}
                href={fragmentOf('formulas', one.id)}
                aria-current={one === shown ? 'true' : undefined}
                onClick={() => void want(one.id)}
              >
                <b>{one.name}</b>
                <small>
                  {one.lines.length} lines · {one.batch} g
                </small>
              </a>
            ))}
          </nav>
        </div>
        {shown !== undefined && <Sheet formula={shown} />}
      </div>
    </div>
  );
}
