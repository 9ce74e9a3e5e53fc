import { useSignal } from '@preact/signals';
import type { Output } from '../../electron/host/table.ts';
import { Form, Pick, TextField } from '../parts/form.tsx';
import { InPlace } from '../parts/in-place.tsx';
import { compareVersions, comparison, comparisonTrouble, type Sheet } from '../state/formula.ts';

type Compared = Output<'formulas.compare'>;
type FormulaRow = Output<'formulas.find'>['rows'][number];

const MARKS = { added: '+ added', removed: '− taken out', changed: '± changed', same: '= the same' } as const;

/** Two formulas line by line, merged by material. */
export function ComparedLines({ told, caption }: { told: Compared; caption: string }) {
  const changed = told.rows.filter((row) => row.how !== 'same').length;
  return (
    <>
      <table class="compared">
        <caption>{caption}</caption>
        <thead>
          <tr>
            <th scope="col">Material</th>
            <th scope="col">What</th>
            <th scope="col" class="mass">
              {told.a}
            </th>
            <th scope="col" class="mass">
              {told.b}
            </th>
            <th scope="col" class="mass">
              Difference
            </th>
            <th scope="col" class="mass">
              In {told.batch} g
            </th>
          </tr>
        </thead>
        <tbody>
          {told.rows.map((row) => (
            <tr key={row.material} data-how={row.how}>
              <th scope="row">{row.material}</th>
              <td class="marked">{MARKS[row.how]}</td>
              <td class="mass">{row.a}</td>
              <td class="mass">{row.b}</td>
              <td class="mass">{row.difference}</td>
              <td class="mass">{row.grams} g</td>
            </tr>
          ))}
        </tbody>
      </table>
      {changed === 0 && <p class="soft">Nothing differs.</p>}
    </>
  );
}

/** Chooses two versions of a formula, or another formula, and lays them side by side. */
export function Comparison({ sheet, others }: { sheet: Sheet; others: readonly FormulaRow[] }) {
  const first = useSignal('');
  const second = useSignal('');
  const batch = useSignal('');
  const own = sheet.versions.map((one) => ({ value: `${one.n}`, says: `version ${one.n}` }));
  const foreign = others
    .filter((one) => one.id !== sheet.id)
    .map((one) => ({ value: `of ${one.id}`, says: one.name }));
  const options = [...own, ...foreign];
  const before = sheet.versions.find((one) => one.n < sheet.n);
  const a = first.value || `${before?.n ?? sheet.n}`;
  const b = second.value || `${sheet.n}`;
  const asked = (value: string) =>
    value.startsWith('of ') ? { id: value.slice(3) } : { id: sheet.id, n: Number(value) };
  return (
    <section class="comparing" aria-labelledby="compare-name">
      <h3 id="compare-name" class="caption">
        Side by side
      </h3>
      <Form name="Side by side" onSubmit={() => void compareVersions(asked(a), asked(b), batch.value)}>
        <Pick label="This" value={a} options={options} onPick={(value) => (first.value = value)} />
        <Pick label="with this" value={b} options={options} onPick={(value) => (second.value = value)} />
        <TextField
          label="Batch, g"
          figure
          value={batch.value}
          placeholder={sheet.batch}
          onInput={(value) => {
            batch.value = value;
          }}
        />
        <InPlace id="told-compare" trouble={comparisonTrouble.value} />
        <div class="row">
          <button type="submit" class="press">
            Compare
          </button>
        </div>
      </Form>
      {comparison.value !== null && (
        <ComparedLines told={comparison.value} caption={`${comparison.value.a} and ${comparison.value.b}`} />
      )}
    </section>
  );
}
