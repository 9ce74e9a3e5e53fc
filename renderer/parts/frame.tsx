import type { ComponentChildren } from 'preact';
import { useEffect, useRef } from 'preact/hooks';
import { underWay } from '../state/bench.ts';
import { atPractice } from '../state/benches.ts';
import { benchId, connection } from '../state/host.ts';
import { fragmentOf, route, SCREENS, type Screen } from '../state/route.ts';
import { due } from '../state/trials.ts';
import { BenchStrip } from './bench-strip.tsx';
import { Settings } from './settings.tsx';
import { Troubles } from './troubles.tsx';

const NAMES: Readonly<Record<Screen, string>> = {
  organ: 'Organ',
  formulas: 'Formulas',
  pour: 'Pour',
  records: 'Records',
  balance: 'Balance',
  practice: 'Practice',
};

function Spine() {
  const now = route.value.screen;
  return (
    <nav class="spine" aria-label="Screens">
      {SCREENS.map((name) => (
        <a class="tab" key={name} href={fragmentOf(name)} aria-current={name === now ? 'page' : undefined}>
          {NAMES[name]}
          {name === 'pour' && underWay.value && !atPractice(benchId.value) && (
            <span class="under-way" role="img" aria-label="a batch is on the bench" />
          )}
          {name === 'records' && due.value.due.length > 0 && (
            <span class="due-count" role="img" aria-label={`${due.value.due.length} due`}>
              {due.value.due.length}
            </span>
          )}
        </a>
      ))}
      <button type="button" class="tab below" popovertarget="settings">
        Sheet
      </button>
    </nav>
  );
}

function CutOff() {
  return (
    <div role="alert">
      {connection.value === 'closed' && (
        <p class="cut-off">
          <strong>This window has lost its host.</strong> Every capture is on disk. Wait a moment; if it does
          not come back, start Pourwright again and the batch is taken up where it was.
        </p>
      )}
    </div>
  );
}

/** The window: spine of tabs, the leaf of the present screen, and what is wrong. */
export function Frame({ children }: { children: ComponentChildren }) {
  const main = useRef<HTMLElement>(null);
  const first = useRef(true);
  const { screen, item } = route.value;
  useEffect(() => {
    if (first.current) first.current = false;
    else main.current?.focus();
    document.title = `${NAMES[screen]} · Pourwright`;
  }, [screen, item]);
  return (
    <div class="frame">
      <Spine />
      <div class="leaf">
        <CutOff />
        <Troubles />
        <BenchStrip />
        <main ref={main} tabIndex={-1} aria-label={NAMES[screen]}>
          {children}
        </main>
      </div>
      <Settings />
    </div>
  );
}
