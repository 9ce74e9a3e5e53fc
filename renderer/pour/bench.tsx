import { useComputed } from '@preact/signals';
import type { ComponentChildren } from 'preact';
import { choices, ended, notice, phase, simulated, step, typed } from '../state/bench.ts';
import { refusal } from '../state/bottle.ts';
import { Bar } from './bar.tsx';
import { ByHand } from './by-hand.tsx';
import { Checked } from './checked.tsx';
import { Choices } from './choices.tsx';
import { Face, Naming, Said } from './face.tsx';
import { Ladder } from './ladder.tsx';
import { Ledger } from './ledger.tsx';
import { NextBottle } from './next-bottle.tsx';
import { Pipette } from './pipette.tsx';
import { Reason } from './reason.tsx';
import { Refused } from './refused.tsx';
import { RunIn } from './run-in.tsx';
import { Trace } from './trace.tsx';
import { Typed } from './typed.tsx';

function Notice() {
  const told = notice.value;
  return (
    <div class="alert" role="alert">
      {told !== null && <p class={`notice ${told.level}`}>{told.text}</p>}
    </div>
  );
}

interface BenchProps {
  /** What stands above the ladder of steps. */
  readonly above?: ComponentChildren;
  /** What is shown once the batch has ended, and the ways on from there. */
  readonly after: ComponentChildren;
  readonly afterBar: ComponentChildren;
}

/** A batch at the bench: face, run-in, ladder, choices, and the actions of the moment. */
export function BenchFace({ above, after, afterBar }: BenchProps) {
  const over = useComputed(() => choices.value.length > 0);
  const refused = useComputed(() => refusal.value !== null);
  const laned = useComputed(() => step.value !== null && step.value.free !== true);
  return (
    <div class="bench">
      <aside class="bench-side">
        {above}
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
          after
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
      {ended.value ? afterBar : <Bar />}
      <Reason />
    </div>
  );
}
