import { useEffect } from 'preact/hooks';
import { FindMyBalance } from '../balance/finding.tsx';
import { Ways } from '../balance/ways.tsx';
import { CareLeaf } from '../care/leaf.tsx';
import { Leaves } from '../parts/leaves.tsx';
import { Press } from '../parts/press.tsx';
import { LinkShape } from '../parts/shapes.tsx';
import { Pipette } from '../pour/pipette.tsx';
import { Typed } from '../pour/typed.tsx';
import { chosen, fetchBalances, press } from '../state/balance.ts';
import {
  display,
  link,
  linkMessage,
  linkWhat,
  moving,
  printed,
  shows,
  simulated,
  typed,
} from '../state/bench.ts';
import { addBench, benches, benchName, fetchBenches, goToBench, removeBench } from '../state/benches.ts';
import { benchId } from '../state/host.ts';
import { fragmentOf, route } from '../state/route.ts';

/** By what the balance is known again at the next start, or at another socket. */
function KnownBy() {
  const choice = chosen.value;
  if (choice === null || choice.kind === 'simulated' || choice.kind === 'typed') return null;
  const { device, path } = choice;
  return (
    <p class="soft">
      {device === undefined
        ? `Remembered by its path, ${path}: the system tells no vendor and product of it.`
        : `Remembered by vendor ${device.vendorId}, product ${device.productId}, ${
            device.serialNumber ? `serial number ${device.serialNumber}` : 'no serial number'
          }: it is found again at whichever socket.`}
    </p>
  );
}

function Keys() {
  const live = link.value === 'live';
  return (
    <p class="row">
      <Press disabled={!live} onPress={() => void press('tare')}>
        Tare
      </Press>
      <Press disabled={!live} onPress={() => void press('zero')}>
        Zero
      </Press>
    </p>
  );
}

function PrintKey() {
  return (
    <p class="soft">
      It sends one figure when you press Print on it, once the display is at rest. Tare and zero are pressed
      on it too.
    </p>
  );
}

function Reading() {
  const drawn = !shows.value ? 'absent' : moving.value ? 'hollow' : 'solid';
  const at = typed.value ? 'typed' : printed.value ? 'printed' : moving.value ? 'moving' : 'settled';
  return (
    <section class="reading" aria-label="The balance now">
      <p class="reading-what">
        {linkWhat}
        {link.value !== 'none' && <LinkShape link={link.value} />}
      </p>
      <p class="reading-figure">
        <span class="big" data-drawn={drawn}>
          {display}
        </span>
      </p>
      <p class="reading-word" role="status">
        {link.value === 'live' && shows.value ? at : ''}
      </p>
      {linkMessage.value !== null && (
        <p class="advice" role="alert">
          {linkMessage}
        </p>
      )}
      {typed.value ? <Typed keyed={false} /> : printed.value ? <PrintKey /> : <Keys />}
      <KnownBy />
      {simulated.value && <Pipette keyed={false} />}
    </section>
  );
}

/** The benches of this machine: each its own balance and its own batch. */
function Benches() {
  const all = benches.value;
  return (
    <section class="benches" aria-labelledby="benches">
      <h2 id="benches">Benches</h2>
      <ul>
        {all.map(({ id, what, link: state, batch }) => (
          <li key={id}>
            <span>
              <b>{benchName(id)}</b>
              <small>
                {what}
                {batch !== null && `, ${batch.name}`}
              </small>
            </span>
            <LinkShape link={state} />
            {id === benchId.value ? (
              <span class="soft">this window</span>
            ) : (
              <Press slim onPress={() => void goToBench(id)}>
                Go to bench {id}
              </Press>
            )}
            {all.length > 1 && (
              <Press slim disabled={batch !== null} onPress={() => void removeBench(id)}>
                Take bench {id} away
              </Press>
            )}
          </li>
        ))}
      </ul>
      <Press slim onPress={() => void addBench()}>
        Set up another bench
      </Press>
    </section>
  );
}

/** Balance: found or chosen, how it is reached, and what it says now. */
export function BalanceScreen() {
  // At another bench everything is asked anew: it has a balance of its own.
  useEffect(() => void Promise.all([fetchBalances(), fetchBenches()]), [benchId.value]);
  const caring = (route.value.item ?? '').split(':')[0] === 'care';
  return (
    <div class="screen balance-screen">
      <header class="screen-head">
        <h1>Balance</h1>
      </header>
      <Leaves
        of="Balance"
        leaves={[
          { href: fragmentOf('balance'), says: 'On this bench', here: !caring },
          { href: fragmentOf('balance', 'care'), says: 'Care', here: caring },
        ]}
      />
      {caring ? <CareLeaf /> : <OnThisBench />}
    </div>
  );
}

function OnThisBench() {
  return (
    <div class="screen-body sided wide-side">
      <div class="choosing" key={benchId.value}>
        <FindMyBalance />
        <Ways />
      </div>
      <div>
        <Reading />
        <Benches />
      </div>
    </div>
  );
}
