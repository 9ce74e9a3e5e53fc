import { useEffect } from 'preact/hooks';
import { BatchList } from '../record/list.tsx';
import { RecordSheet } from '../record/sheet.tsx';
import { found } from '../state/finding.ts';
import { openRecord, record } from '../state/records.ts';
import { route } from '../state/route.ts';

/** Records: every batch, and the one that is open. */
export function RecordsScreen() {
  const { item } = route.value;
  useEffect(() => {
    if (item !== null) void openRecord(item);
  }, [item]);
  const all = found.value?.all ?? 0;
  const shown = record.value;
  return (
    <div class="screen">
      <header class="screen-head">
        <h1>Records</h1>
      </header>
      <div class="screen-body sided">
        <BatchList />
        {shown !== null && shown.batch === item ? (
          <RecordSheet record={shown} />
        ) : (
          <p class="soft paper">{all > 0 && item === null && 'Open a record from the list.'}</p>
        )}
      </div>
    </div>
  );
}
