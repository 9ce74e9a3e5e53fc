import { After, AfterBar } from '../pour/after.tsx';
import { Before } from '../pour/before.tsx';
import { BenchFace } from '../pour/bench.tsx';
import { Head } from '../pour/head.tsx';
import { useKeys } from '../pour/keys.ts';
import { hasPour, known } from '../state/bench.ts';

/** Pour: before a batch, at the bench, and after it. */
export function PourScreen() {
  useKeys();
  return (
    <div class="pour">
      <Head />
      {known.value && (hasPour.value ? <BenchFace after={<After />} afterBar={<AfterBar />} /> : <Before />)}
    </div>
  );
}
