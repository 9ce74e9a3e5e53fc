import { useComputed } from '@preact/signals';
import { After, AfterBar } from '../pour/after.tsx';
import { Bar } from '../pour/bar.tsx';
import { Before } from '../pour/before.tsx';
import { ByHand } from '../pour/by-hand.tsx';
import { Checked } from '../pour/checked.tsx';
import { Choices } from '../pour/choices.tsx';
import { Face, Naming, Said } from '../pour/face.tsx';
import { Head } from '../pour/head.tsx';
import { useKeys } from '../pour/keys.ts';
import { Ladder } from '../pour/ladder.tsx';
import { Ledger } from '../pour/ledger.tsx';
import { NextBottle } from '../pour/next-bottle.tsx';
import { Pipette } from '../pour/pipette.tsx';
import { Reason } from '../pour/reason.tsx';
import { Refused } from '../pour/refused.tsx';
import { RunIn } from '../pour/run-in.tsx';
import { Trace } from '../pour/trace.tsx';
import { Typed } from '../pour/typed.tsx';
import { choices, ended, hasPour, known, notice, phase, simulated, step, typed } from '../state/bench.ts';
import { refusal } from '../state/bottle.ts';

function Notice() {
  const told = notice.value;
  return (
    <div class="alert" role="alert">
      {told !== null && <p class={`notice ${told.level}`}>{told.text}</p>}
    </div>
  );
}

function Bench() {
  const over = useComputed(() => choices.value.length > 0);
  const refused = useComputed(() => refusal.value !== null);
  const laned = useComputed(() => step.value !== null);
  return (
    <div class="bench">
      <aside class="bench-side">
        <Ladder />
        {simulated.value && <Pipette keyed />}
        {typed.value && !ended.value && <Typed keyed />}
      </aside>
      <div class="bench-main" data-phase={phase}>
        <Notice />
        <Naming />
        <Face />
        <Refused />
        {laned.value && !refused.value && !ended.value && <RunIn />}
        {ended.value ? (
          <After />
        ) : over.value ? (
          <Choices />
        ) : (
          <>
            <Ledger />
            <Checked />
            <div class="beside">
              <NextBottle />
              <ByHand />
            </div>
            {!typed.value && <Trace />}
          </>
        )}
        <Said />
      </div>
      {ended.value ? <AfterBar /> : <Bar />}
      <Reason />
    </div>
  );
}

/** Pour: before a batch, at the bench, and after it. */
export function PourScreen() {
  useKeys();
  return (
    <div class="pour">
      <Head />
      {known.value && (hasPour.value ? <Bench /> : <Before />)}
    </div>
  );
}
