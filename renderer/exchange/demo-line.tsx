import { useEffect } from 'preact/hooks';
import { Press } from '../parts/press.tsx';
import { beginning, fetchWorkshop, keepDemo, startEmpty, workshop } from '../state/first-run.ts';

/** Says on the Organ that it is that of the demo workshop, and how to come to one of one's own. */
export function DemoLine() {
  useEffect(() => void fetchWorkshop(), []);
  const now = workshop.value;
  if (now?.demo !== true) return null;
  return (
    <aside class="demo-line" aria-label="Demo workshop">
      {now.emptyNext ? (
        <>
          <p role="status">
            At the next start an empty workshop opens. The demo, with what was poured and written in it, is
            then kept in the data folder as pourwright.before-restore, with the date.
          </p>
          <Press slim onPress={() => void keepDemo()}>
            Stay with the demo
          </Press>
        </>
      ) : (
        <>
          <p>This is the demo workshop: everything on these shelves is invented.</p>
          <Press slim disabled={beginning.value} onPress={() => void startEmpty()}>
            Start empty next time
          </Press>
        </>
      )}
    </aside>
  );
}
