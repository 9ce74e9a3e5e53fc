import { DecimalSignPick } from '../parts/decimal-sign.tsx';
import { download } from '../parts/download.ts';
import { Press } from '../parts/press.tsx';
import { handingOut, handOut, wentTo } from '../state/archive.ts';
import { decimalSign } from '../state/handing-over.ts';

type Asked = Parameters<typeof handOut>[0];

function Give({ children, asked }: { children: string; asked: Omit<Asked, 'decimal'> }) {
  return (
    <Press
      disabled={handingOut.value}
      onPress={() => void handOut({ ...asked, decimal: decimalSign.value }, download)}
    >
      {children}
    </Press>
  );
}

/** Hand out: materials and bottles, formulas, or the whole workshop, as files. */
export function HandOut() {
  return (
    <section class="hand-out" aria-labelledby="hand-out">
      <h2 id="hand-out">Hand out</h2>
      <ul class="gives">
        <li>
          <h3>The Organ</h3>
          <p>
            Every material and bottle, with strength, stock, price and dates. Table and JSON can be brought in
            again.
          </p>
          <p class="row">
            <Give asked={{ what: 'organ', format: 'csv' }}>Organ, CSV</Give>
            <Give asked={{ what: 'organ', format: 'json' }}>Organ, JSON</Give>
          </p>
        </li>
        <li>
          <h3>Formulas</h3>
          <p>
            Their lines as they are written: the newest version in the table, all versions in JSON, which can
            be brought in again.
          </p>
          <p class="row">
            <Give asked={{ what: 'formulas', format: 'csv' }}>Formulas, CSV</Give>
            <Give asked={{ what: 'formulas', format: 'json' }}>Formulas, JSON</Give>
          </p>
        </li>
        <li>
          <h3>The whole workshop</h3>
          <p>
            One archive for another bench: Organ and stock, formulas with versions, every batch that has ended
            with its readings, trials, and what is known of balances. A batch that is still open stays here.
          </p>
          <p class="row">
            <Give asked={{ what: 'workshop', format: 'json' }}>Workshop, archive</Give>
          </p>
        </li>
      </ul>
      <DecimalSignPick />
      <p role="status" class="soft">
        {handingOut.value ? 'It is being made.' : wentTo.value}
      </p>
    </section>
  );
}
