import { Press } from '../parts/press.tsx';
import { phase, pour, result } from '../state/bench.ts';
import { leave } from '../state/doing.ts';
import { fragmentOf } from '../state/route.ts';

/** After a batch has ended: strength as made against target, closure, and the ways on. */
export function After() {
  const made = result.value;
  return (
    <section class="after" aria-label="As made">
      {made !== null && (
        <dl class="ledger">
          <div>
            <dt>strength as made</dt>
            <dd>{made.strength}</dd>
          </div>
          <div>
            <dt>target strength</dt>
            <dd>{made.target}</dd>
          </div>
          <div>
            <dt>poured in all</dt>
            <dd>{made.total} g</dd>
          </div>
          <div>
            <dt>closure</dt>
            <dd>{made.closure} g</dd>
          </div>
        </dl>
      )}
      {phase.value === 'abandoned' && (
        <p class="soft">This batch was abandoned. Its record keeps every pour and the reason.</p>
      )}
    </section>
  );
}

/** The ways on from an ended batch. */
export function AfterBar() {
  const open = () => {
    const batch = pour.value?.batch;
    if (batch !== undefined) location.hash = fragmentOf('records', batch);
  };
  return (
    <footer class="bar">
      <div class="bar-actions">
        <Press primary keyName="Space" onPress={open}>
          Open the record
        </Press>
        <Press keyName="L" onPress={() => void leave()}>
          Leave the bench
        </Press>
      </div>
    </footer>
  );
}
