import type { BenchView } from '../../electron/host/table.ts';
import { Press } from '../parts/press.tsx';
import { leave } from '../state/doing.ts';
import { fragmentOf } from '../state/route.ts';

/** A batch that the program fails to show: what happened, what is kept, and the ways on. */
export function Unshown({ batch }: { batch: NonNullable<BenchView['unshown']> }) {
  return (
    <section class="unshown" role="alert" aria-label="A batch that cannot be shown">
      <h2>{batch.name} cannot be shown</h2>
      <p>
        The program went wrong over it ({batch.why}). That is a fault of the program, not of the balance or
        the record: every capture is on disk. Note what the display reads before anything is moved.
      </p>
      <p>
        Off the bench it stays in Records, whole as it was stored. If it had not ended, it can be taken up
        again once the program is put right.
      </p>
      <div class="row">
        <Press primary onPress={() => void leave()}>
          Take it off the bench
        </Press>
        <a class="press" href={fragmentOf('records', batch.batch)}>
          Open its record
        </a>
      </div>
    </section>
  );
}
