import { useSignal } from '@preact/signals';
import type { Output } from '../../electron/host/table.ts';
import { HowGot } from '../parts/opens.tsx';
import { Press } from '../parts/press.tsx';
import { fragmentOf } from '../state/route.ts';

type Check = Output<'formulas.check'>;
type Row = Check['lines'][number];

function Title({ row }: { row: Row }) {
  if (row.accord === null) return <>{row.title}</>;
  return (
    <>
      <a href={fragmentOf('formulas', row.accord.id)}>{row.title}</a>
      <small>
        accord, version {row.accord.n}
        {row.accord.newest > row.accord.n && `; version ${row.accord.newest} is newer`}
        {row.lot !== '' && `; from bottle ${row.lot}`}
      </small>
    </>
  );
}

/** Mass of a line in the batch: as written, or what fills it up. */
function batchMass(row: Row, { fills }: Check): string {
  const grams = row.grams ?? fills?.grams ?? null;
  return grams === null ? '' : `${grams} g`;
}

/** The lines of a formula as they are written, with what each comes to. */
export function FormulaLines({ sheet }: { sheet: Check }) {
  return (
    <table class="formula-lines">
      <caption class="unseen">Lines of the formula</caption>
      <thead>
        <tr>
          <th scope="col">Material</th>
          <th scope="col">Note</th>
          <th scope="col">Family</th>
          <th scope="col" class="mass">
            As written
          </th>
          <th scope="col" class="mass">
            Neat
          </th>
          <th scope="col" class="mass">
            In the batch
          </th>
        </tr>
      </thead>
      <tbody>
        {sheet.lines.map((row) => (
          <tr key={row.id}>
            <th scope="row">
              <Title row={row} />
            </th>
            <td class="soft">{row.note ?? ''}</td>
            <td class="soft">{row.family}</td>
            <td class="mass">
              {row.amount}
              {row.dilution !== null && <small>of {row.dilution}</small>}
            </td>
            <td class="mass">{row.neat ?? sheet.fills?.percent ?? '–'}</td>
            <td class="mass">{batchMass(row, sheet)}</td>
          </tr>
        ))}
      </tbody>
    </table>
  );
}

/** What the lines come to once accords are opened, materials joined and dilutions read: opened where it says more. */
export function ResolvedLines({ sheet }: { sheet: Check }) {
  const open = useSignal(false);
  const { resolved } = sheet;
  const further = sheet.lines.some((row) => row.accord !== null || row.dilution !== null);
  if (resolved === null || (!further && resolved.words.length === 0)) return null;
  return (
    <section class="resolved" aria-label="As it is planned">
      <Press
        slim
        onPress={() => {
          open.value = !open.value;
        }}
      >
        {open.value ? 'Fold the materials away' : `All ${resolved.rows.length} materials, accords opened`}
      </Press>
      {open.value && (
        <>
          <table>
            <caption>As it is planned</caption>
            <thead>
              <tr>
                <th scope="col">Material</th>
                <th scope="col">Comes by</th>
                <th scope="col" class="mass">
                  Neat
                </th>
                <th scope="col" class="mass">
                  In the batch
                </th>
              </tr>
            </thead>
            <tbody>
              {resolved.rows.map((row) => (
                <tr key={row.line}>
                  <th scope="row">{row.material}</th>
                  <td class="soft">
                    {row.qs
                      ? 'q.s., fills to the whole'
                      : row.from.length === 0
                        ? 'a line of its own'
                        : row.from.join('; ')}
                    {row.lot !== '' && `, bottle ${row.lot}`}
                  </td>
                  <td class="mass">{row.percent}</td>
                  <td class="mass">{row.grams} g</td>
                </tr>
              ))}
            </tbody>
          </table>
          <HowGot lines={resolved.words} />
        </>
      )}
    </section>
  );
}
