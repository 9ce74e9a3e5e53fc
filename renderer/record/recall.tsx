import { momentText } from '../figures/moment.ts';
import { InPlace } from '../parts/in-place.tsx';
import { lotCode, type Recall, recall, recallTrouble, whereWent } from '../state/over-all.ts';
import { fragmentOf } from '../state/route.ts';
import { Heads } from './heads.tsx';

function Holders({ lot, told }: { lot: string; told: Recall }) {
  return (
    <>
      {told.rows.length === 0 ? (
        <p>No batch holds anything of {lot}.</p>
      ) : (
        <table>
          <caption>Batches that hold {lot}</caption>
          <Heads of={['Batch', 'Begun', { figures: 'Share' }, 'Through', 'Became']} />
          <tbody>
            {told.rows.map((row) => (
              <tr key={row.batch}>
                <th scope="row">
                  <a href={fragmentOf('records', row.batch)}>{row.name}</a>
                  {row.status !== 'closed' && <small>{row.status}</small>}
                </th>
                <td class="soft">{momentText(row.started)}</td>
                <td class="mass">{row.percent}</td>
                <td>{row.through.join(', ')}</td>
                <td>{row.became ?? '–'}</td>
              </tr>
            ))}
          </tbody>
        </table>
      )}
      {told.unread.length > 0 && (
        <p class="in-place">
          <strong>Not readable, so nobody can know it of:</strong>{' '}
          {told.unread.map((one) => one.name).join(', ')}.
        </p>
      )}
    </>
  );
}

/** Every batch that holds a lot, through dilutions too. */
export function WhereWent() {
  const wrong = recallTrouble.value !== null;
  return (
    <section aria-labelledby="where-went">
      <h2 id="where-went" class="caption">
        Where a lot went
      </h2>
      <form
        class="with-press"
        onSubmit={(event) => {
          event.preventDefault();
          void whereWent();
        }}
      >
        <label>
          Lot
          <input
            data-own-codes
            type="text"
            autoComplete="off"
            spellcheck={false}
            maxLength={80}
            aria-invalid={wrong}
            aria-describedby={wrong ? 'told-recall' : undefined}
            value={lotCode}
            onInput={(event) => {
              lotCode.value = event.currentTarget.value;
            }}
          />
        </label>
        <button type="submit" class="press slim">
          Find where it went
        </button>
      </form>
      <InPlace id="told-recall" trouble={recallTrouble.value} />
      {recall.value !== null && <Holders {...recall.value} />}
    </section>
  );
}
