import { Press } from '../parts/press.tsx';
import { dropOne, squeeze, squeezing, vessel } from '../state/pipette.ts';

/**
 * The simulated balance's own controls: vessel and pipette. The squeeze runs while it is held.
 * `keyed` where the keys of the pipette work; `what` stands on the pan, and no pipette is shown without `liquid`.
 */
export function Pipette({
  keyed,
  what = 'Vessel',
  liquid = true,
}: {
  readonly keyed: boolean;
  readonly what?: string;
  readonly liquid?: boolean;
}) {
  return (
    <section class="pipette" aria-label="Pipette of the simulated balance">
      <h2>Simulated balance</h2>
      <div class="pipette-keys">
        <Press slim onPress={() => void vessel(true)}>
          {what} on
        </Press>
        <Press slim onPress={() => void vessel(false)}>
          {what} off
        </Press>
        {liquid && (
          <>
            <button
              type="button"
              class="press slim"
              data-held={squeezing}
              aria-keyshortcuts={keyed ? 'F' : undefined}
              onPointerDown={(event) => {
                event.preventDefault();
                event.currentTarget.setPointerCapture(event.pointerId);
                void squeeze(true);
              }}
              onMouseDown={(event) => event.preventDefault()}
              onPointerUp={() => void squeeze(false)}
              onPointerCancel={() => void squeeze(false)}
              onBlur={() => void squeeze(false)}
              onKeyDown={(event) => {
                if (event.key === ' ' || event.key === 'Enter') {
                  event.preventDefault();
                  void squeeze(true);
                }
              }}
              onKeyUp={(event) => {
                if (event.key === ' ' || event.key === 'Enter') {
                  event.preventDefault();
                  void squeeze(false);
                }
              }}
            >
              Squeeze, held
              {keyed && (
                <span class="key" aria-hidden="true">
                  F
                </span>
              )}
            </button>
            <Press slim keyName={keyed ? 'D' : undefined} onPress={() => void dropOne()}>
              One drop
            </Press>
          </>
        )}
      </div>
    </section>
  );
}
