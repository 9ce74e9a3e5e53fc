import { useEffect } from 'preact/hooks';
import { downloadText } from '../parts/download.ts';
import { Press } from '../parts/press.tsx';
import {
  fetchSheet,
  keepSheet,
  type PourSheet,
  pourSheet,
  sheetKept,
  shownDraft,
} from '../state/pour-sheet.ts';
import { fragmentOf } from '../state/route.ts';
import { PourLeaves } from './leaves.tsx';

const Room = () => <span class="write-room" />;

/** The sheet as it is printed. */
function Printed({ sheet }: { sheet: PourSheet }) {
  return (
    <article class="print-sheet" aria-label="Pour sheet">
      <h2>{sheet.title}</h2>
      <p class="write-row">
        Poured by <Room /> on <Room /> balance <Room />
      </p>
      <p class="write-row">
        Empty vessel <Room /> g
      </p>
      <table>
        <thead>
          <tr>
            <th scope="col">No.</th>
            <th scope="col">Line</th>
            <th scope="col">Lot</th>
            <th scope="col" class="mass">
              Target, window, g
            </th>
            <th scope="col">Before, g</th>
            <th scope="col">After, g</th>
            <th scope="col">Net, g</th>
          </tr>
        </thead>
        <tbody>
          {sheet.rows.map((row) => (
            <tr key={row.no}>
              <td>{row.no}</td>
              <th scope="row">
                {row.title}
                {row.cautions.map((text) => (
                  <small key={text}>{text}</small>
                ))}
              </th>
              <td class="lot-code">{row.lot}</td>
              <td class="mass">
                <b>{row.target}</b>
                <small>{row.window}</small>
              </td>
              <td class="write" />
              <td class="write" />
              <td class="write" />
            </tr>
          ))}
        </tbody>
      </table>
      <p class="write-row">
        Vessel and batch at the end <Room /> g
      </p>
      <p class="soft">Do not tare between lines; where it was tared, write before and after.</p>
    </article>
  );
}

/** Pour sheet: to print by the browser's own dialog, or to keep as a file. */
export function SheetLeaf() {
  useEffect(() => void fetchSheet(), []);
  const sheet = pourSheet.value;
  return (
    <div class="screen pour-sheet">
      <header class="screen-head">
        <h1>Pour</h1>
      </header>
      <PourLeaves />
      <div class="screen-body">
        {shownDraft() === null ? (
          <p>
            No plan was put on a sheet yet. <a href={fragmentOf('pour')}>Plan a batch</a>, then press “Print a
            pour sheet” under it.
          </p>
        ) : (
          sheet !== null && (
            <>
              <div class="row sheet-deeds">
                <Press primary onPress={() => print()}>
                  Print
                </Press>
                <Press onPress={() => void keepSheet(downloadText)}>Save as a file</Press>
                <a href={fragmentOf('pour', 'typed-in')}>Type in its figures afterwards</a>
              </div>
              <p role="status" class="soft">
                {sheetKept}
              </p>
              <Printed sheet={sheet} />
            </>
          )
        )}
      </div>
    </div>
  );
}
