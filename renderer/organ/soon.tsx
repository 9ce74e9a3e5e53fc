import type { ShelfView } from '../../electron/host/table.ts';
import { expiring, runningOut } from '../state/organ.ts';
import { fragmentOf } from '../state/route.ts';

type Lot = ShelfView['materials'][number]['lots'][number];

function List({
  id,
  title,
  none,
  lots,
  why,
}: {
  readonly id: string;
  readonly title: string;
  readonly none: string;
  readonly lots: readonly Lot[];
  readonly why: (lot: Lot) => string;
}) {
  return (
    <section aria-labelledby={id}>
      <h2 id={id}>{title}</h2>
      {lots.length === 0 && <p class="soft">{none}</p>}
      <ul class="wanting">
        {lots.map((lot) => (
          <li key={lot.code}>
            <a href={fragmentOf('organ', `lot:${lot.code}`)}>
              <b>{lot.name}</b>
              <span>{lot.code}</span>
              <span>{why(lot)}</span>
            </a>
          </li>
        ))}
      </ul>
    </section>
  );
}

/** What runs out and what expires, before a plan needs it. */
export function Soon() {
  return (
    <div class="paper soon">
      <List
        id="running-out"
        title="Running out"
        none="No bottle is running out."
        lots={runningOut.value}
        why={(lot) => lot.low ?? ''}
      />
      <List
        id="expiring"
        title="Expiring"
        none="No bottle is past its date or will be within 60 days."
        lots={expiring.value}
        why={(lot) => lot.expiry?.text ?? ''}
      />
      <p class="soft">
        A bottle is called running out when it is empty, when a formula that names it takes more than is left
        for one batch, or below a fifth of the most it held. Used up? Finish it on its sheet: it leaves the
        shelves, and its records stay.
      </p>
    </div>
  );
}
