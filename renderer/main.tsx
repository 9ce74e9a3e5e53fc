import { effect, signal } from '@preact/signals';
import { render } from 'preact';
import { connectHost, onConnection } from './bridge.ts';
import { FirstRun } from './exchange/first-run.tsx';
import { Frame } from './parts/frame.tsx';
import { hearScanner } from './parts/scanner.ts';
import { tellBySound } from './parts/sound.ts';
import { tellBySpeech } from './parts/voice.ts';
import { BalanceScreen } from './screens/balance.tsx';
import { FormulasScreen } from './screens/formulas.tsx';
import { OrganScreen } from './screens/organ.tsx';
import { PourScreen } from './screens/pour.tsx';
import { PracticeScreen } from './screens/practice.tsx';
import { RecordsScreen } from './screens/records.tsx';
import { bench } from './state/bench.ts';
import { benchesHear, fetchBenches } from './state/benches.ts';
import { fetchWorkshop, followWorkshop, showsWays } from './state/first-run.ts';
import { ask, benchId, connection, useBridge } from './state/host.ts';
import { rememberSheets } from './state/pour-sheet.ts';
import { buttons, remember, sheet } from './state/preferences.ts';
import { readRoute, route, type Screen, screen } from './state/route.ts';
import { traceHears } from './state/trace.ts';
import { watchDue } from './state/trials.ts';
import { tell } from './state/troubles.ts';
import { rememberTyping } from './state/typed-in.ts';
import { keepWritingIn } from './state/writing.ts';

const SCREEN_OF: Readonly<Record<Screen, () => preact.JSX.Element>> = {
  organ: OrganScreen,
  formulas: FormulasScreen,
  pour: PourScreen,
  records: RecordsScreen,
  balance: BalanceScreen,
  practice: PracticeScreen,
};

const reached = signal(false);

function Program() {
  const Present = showsWays.value ? FirstRun : SCREEN_OF[screen.value];
  return <Frame>{reached.value && <Present />}</Frame>;
}

function followAddress(): void {
  const read = () => {
    route.value = readRoute(location.hash);
  };
  addEventListener('hashchange', read);
  read();
}

async function fetchBench(): Promise<void> {
  const view = await ask('bench.view', {});
  if (view !== null) bench.value = view;
}

async function reachHost(): Promise<void> {
  onConnection((state) => {
    const back = connection.value === 'closed' && state === 'open';
    connection.value = state;
    if (back) void fetchBench();
  });
  const bridge = await connectHost();
  useBridge(bridge);
  bridge.onBench((view) => {
    if (!benchesHear(view)) return;
    bench.value = view;
    traceHears(view.live);
  });
  await fetchBenches();
  await Promise.all([fetchBench(), fetchWorkshop()]);
}

remember(localStorage);
rememberSheets(localStorage);
rememberTyping(localStorage);
keepWritingIn(localStorage);
effect(() => {
  document.documentElement.dataset.sheet = sheet.value;
  document.documentElement.dataset.buttons = buttons.value;
});
// Each tab stays at its bench over a reload, and another tab may be at another.
benchId.value = sessionStorage.getItem('bench') ?? benchId.value;
benchId.subscribe((id) => sessionStorage.setItem('bench', id));
followAddress();
followWorkshop();
tellBySound();
tellBySpeech();
hearScanner();

const place = document.getElementById('window');
if (place === null) throw new Error('the page has no place for the window');

reachHost()
  .catch((cause: unknown) => {
    tell('window', {
      what: cause instanceof Error ? cause.message : String(cause),
      where: 'the way to the host',
      next: 'Start Pourwright again.',
    });
  })
  .finally(() => {
    // Screens ask the host as soon as they are there: they come once it can be reached.
    reached.value = true;
    watchDue();
  });
render(<Program />, place);
