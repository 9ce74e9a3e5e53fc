import { useComputed } from '@preact/signals';
import { Press } from '../parts/press.tsx';
import { actions, phase, poured, printed, solid, step, typed } from '../state/bench.ts';
import { refusal } from '../state/bottle.ts';
import { act, footRests } from '../state/doing.ts';
import { connection } from '../state/host.ts';
import { Detail } from './choices.tsx';

function untilSolid(): string {
  if (typed.value) return 'until one is typed';
  return printed.value ? 'until Print is pressed on the balance' : 'while the reading moves';
}

/** The actions of the moment with their keys, and the pour against its window in words. */
export function Bar() {
  const said = useComputed(() => {
    const now = step.value;
    if (phase.value === 'pouring' && !solid.value) return `Figures are hollow ${untilSolid()}.`;
    // Beside five actions there is no room; the ledger says the same.
    if (actions.value.length > 4 || now === null || poured.value === null || Number(poured.value) === 0)
      return '';
    if (now.free === true) return `${poured.value} g, without a target`;
    return `${poured.value} g against ${now.low} – ${now.high} g`;
  });
  return (
    <footer class="bar">
      <div class="bar-actions" data-many={actions.value.length > 4}>
        {actions.value.map((action) => (
          <Press
            key={`${action.do} ${action.choice ?? ''}`}
            primary={action.primary}
            disabled={
              !action.enabled ||
              (action.primary && (refusal.value !== null || footRests.value)) ||
              connection.value !== 'open'
            }
            keyName={action.key}
            onPress={() => act(action)}
          >
            {action.label}
          </Press>
        ))}
      </div>
      <div class="bar-end">
        <p class="bar-said">{said}</p>
        <Detail />
      </div>
    </footer>
  );
}
