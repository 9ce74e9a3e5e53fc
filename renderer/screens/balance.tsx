import { useEffect } from 'preact/hooks';
import { FindMyBalance } from '../balance/finding.tsx';
import { Ways } from '../balance/ways.tsx';
import { Press } from '../parts/press.tsx';
import { LinkShape } from '../parts/shapes.tsx';
import { Pipette } from '../pour/pipette.tsx';
import { Typed } from '../pour/typed.tsx';
import { chosen, fetchBalances, press } from '../state/balance.ts';
import { display, link, linkMessage, linkWhat, moving, shows, simulated, typed } from '../state/bench.ts';

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

function Reading() {
  const drawn = !shows.value ? 'absent' : moving.value ? 'hollow' : 'solid';
  const at = typed.value ? 'typed' : moving.value ? 'moving' : 'settled';
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
      {typed.value ? <Typed keyed={false} /> : <Keys />}
      <KnownBy />
      {simulated.value && <Pipette keyed={false} />}
    </section>
  );
}

/** Balance: found or chosen, how it is reached, and what it says now. */
export function BalanceScreen() {
  useEffect(() => void fetchBalances(), []);
  return (
    <div class="screen">
      <header class="screen-head">
        <h1>Balance</h1>
      </header>
      <div class="screen-body sided wide-side">
        <div class="choosing">
          <FindMyBalance />
          <Ways />
        </div>
        <Reading />
      </div>
    </div>
  );
}
