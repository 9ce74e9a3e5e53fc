import { useEffect } from 'preact/hooks';
import type { RecordRow } from '../../electron/host/table.ts';
import { momentText } from '../figures/moment.ts';
import { RecordSheet } from '../record/sheet.tsx';
import { heading, underWay } from '../state/bench.ts';
import { fetchRecords, openRecord, record, records } from '../state/records.ts';
import { fragmentOf, route } from '../state/route.ts';

function Row({ row }: { row: RecordRow }) {
  const open = route.value.item === row.batch;
  const onBench = underWay.value && heading.value?.batch === row.batch;
  return (
    <a href={fragmentOf('records', row.batch)} aria-current={open ? 'true' : undefined}>
      <b>{row.name}</b>
      <small>
        {momentText(row.started)}
        {row.total !== null && ` · ${row.total} g`}
      </small>
      {onBench ? <small>on the bench</small> : <small class={`status ${row.status}`}>{row.status}</small>}
    </a>
  );
}

/** Records: every batch, and the one that is open. */
export function RecordsScreen() {
  const { item } = route.value;
  useEffect(() => void fetchRecords(), []);
  useEffect(() => {
    if (item !== null) void openRecord(item);
  }, [item]);
  const all = records.value;
  const shown = record.value;
  return (
    <div class="screen">
      <header class="screen-head">
        <h1>Records</h1>
      </header>
      <div class="screen-body sided">
        <nav class="list" aria-label="Batches">
          {all?.length === 0 && <p class="soft">No batch has been poured yet.</p>}
          {all?.map((row) => (
            <Row key={row.batch} row={row} />
          ))}
        </nav>
        {shown !== null && shown.batch === item ? (
          <RecordSheet record={shown} />
        ) : (
          <p class="soft paper">
            {all !== null && all.length > 0 && item === null && 'Open a record from the list.'}
          </p>
        )}
      </div>
    </div>
  );
}
