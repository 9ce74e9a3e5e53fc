import { useEffect } from 'preact/hooks';
import type { FormulaView } from '../../electron/host/table.ts';
import { Press } from '../parts/press.tsx';
import { underWay } from '../state/bench.ts';
import { size, wanted } from '../state/planning.ts';
import { fragmentOf, route } from '../state/route.ts';
import { fetchFormulas, formulas } from '../state/workshop.ts';

function pourIt(formula: FormulaView): void {
  wanted.value = formula.id;
  size.value = '';
  location.hash = fragmentOf('pour');
}

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
      <p class="row paper-foot">
        <Press primary disabled={underWay.value} onPress={() => pourIt(formula)}>
          Pour this formula
        </Press>
        {underWay.value && <span class="soft">A batch is on the bench.</span>}
      </p>
    </section>
  );
}

/** Formulas: the list and the lines of one. */
export function FormulasScreen() {
  useEffect(() => void fetchFormulas(), []);
  const all = formulas.value ?? [];
  const shown = all.find((one) => one.id === route.value.item) ?? all[0];
  return (
    <div class="screen">
      <header class="screen-head">
        <h1>Formulas</h1>
      </header>
      <div class="screen-body sided">
        <nav class="list" aria-label="Formulas">
          {all.map((one) => (
            <a
              key={one.id}
              href={fragmentOf('formulas', one.id)}
              aria-current={one === shown ? 'true' : undefined}
            >
              <b>{one.name}</b>
              <small>
                {one.lines.length} lines · {one.batch} g
              </small>
            </a>
          ))}
        </nav>
        {shown !== undefined && <Sheet formula={shown} />}
      </div>
    </div>
  );
}
