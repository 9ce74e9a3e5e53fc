import { useEffect } from 'preact/hooks';
import { momentText } from '../figures/moment.ts';
import { fragmentOf } from '../state/route.ts';
import { type Due, due, fetchDue } from '../state/trials.ts';

const atText = (at: string): string => (at.length === 10 ? at : momentText(at));

function Rows({ name, rows }: { name: string; rows: Due['due'] }) {
  return (
    <table>
      <caption>{name}</caption>
      <thead>
        <tr>
          <th scope="col">Batch</th>
          <th scope="col">What</th>
          <th scope="col">When</th>
        </tr>
      </thead>
      <tbody>
        {rows.map((row) => (
          <tr key={`${row.batch} ${row.what} ${row.at}`}>
            <th scope="row">
              <a href={fragmentOf('records', row.batch)}>{row.name}</a>
            </th>
            <td>{row.what}</td>
            <td class="soft">{atText(row.at)}</td>
          </tr>
        ))}
      </tbody>
    </table>
  );
}

/** What is to be smelled now, and what comes next. */
export function DueLeaf() {
  useEffect(() => void fetchDue(), []);
  const now = due.value;
  return (
    <section class="paper" aria-label="Due">
      <h2>Due</h2>
      {now.due.length === 0 ? (
        <p class="soft">
          Nothing is due. Blotters are dipped, and days of maturing set, on the record of a batch.
        </p>
      ) : (
        <Rows name="Now" rows={now.due} />
      )}
      {now.next.length > 0 && <Rows name="Next" rows={now.next} />}
    </section>
  );
}
