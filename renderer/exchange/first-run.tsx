import { Press } from '../parts/press.tsx';
import { beginning, tryDemo } from '../state/first-run.ts';
import { fragmentOf } from '../state/route.ts';

/** The ways on from an empty workshop. */
export function FirstRun() {
  return (
    <div class="screen">
      <header class="screen-head">
        <h1>An empty workshop</h1>
      </header>
      <section class="screen-body ways" aria-label="Ways on">
        <p class="ways-lead">No material, no bottle and no formula is here yet. Three ways on:</p>
        <ol>
          <li>
            <h2>Look around first</h2>
            <p>
              An invented workshop with a simulated balance: pour from its bottles with a pipette on the
              screen. It stays apart from a workshop of your own.
            </p>
            <Press primary disabled={beginning.value} onPress={() => void tryDemo()}>
              Try the demo workshop
            </Press>
          </li>
          <li>
            <h2>Begin at the bench</h2>
            <p>
              Plug in the balance and have it found, or say how it is reached. Without a cable its figures are
              typed by hand.
            </p>
            <a class="press" href={fragmentOf('balance')}>
              Connect a balance
            </a>
          </li>
          <li>
            <h2>Begin with what you have</h2>
            <p>
              Paste materials, bottles or a formula from a spreadsheet, open a CSV file, or take over a
              workshop archive of another bench.
            </p>
            <a class="press" href={fragmentOf('organ', 'bring-in')}>
              Bring in a list
            </a>
            <p>
              Or <a href={fragmentOf('organ', 'new-material')}>write down the first material</a>.
            </p>
          </li>
        </ol>
      </section>
    </div>
  );
}
