import { useEffect } from 'preact/hooks';
import { DueLeaf } from '../record/due.tsx';
import { BatchList } from '../record/list.tsx';
import { OverAll } from '../record/over-all.tsx';
import { RecordSheet } from '../record/sheet.tsx';
import { openRecord, record } from '../state/records.ts';
import { fragmentOf, route } from '../state/route.ts';
import { due } from '../state/trials.ts';

/** The leaf of what is due; no batch has this id. */
const DUE = 'due';

/** Records: every batch, and the one that is open. */
export function RecordsScreen() {
  const { item } = route.value;
  useEffect(() => {
    if (item !== null && item !== DUE) void openRecord(item);
  }, [item]);
  const shown = record.value;
  return (
    <div class="screen">
      <header class="screen-head">
        <h1>Records</h1>
        {item !== null && <a href={fragmentOf('records')}>Over all batches</a>}
        {item !== DUE && (
          <a href={fragmentOf('records', DUE)}>
            Due{due.value.due.length > 0 && ` (${due.value.due.length})`}
          </a>
        )}
      </header>
      <div class="screen-body sided">
        <BatchList />
        {item === null && <OverAll />}
        {item === DUE && <DueLeaf />}
        {item !== null && shown?.batch === item && <RecordSheet record={shown} />}
      </div>
    </div>
  );
}
