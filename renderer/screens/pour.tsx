import { After, AfterBar } from '../pour/after.tsx';
import { Before } from '../pour/before.tsx';
import { BenchFace } from '../pour/bench.tsx';
import { Head } from '../pour/head.tsx';
import { useKeys } from '../pour/keys.ts';
import { Unshown } from '../pour/unshown.tsx';
import { SheetLeaf } from '../pour-sheet/sheet.tsx';
import { TypedIn } from '../pour-sheet/typed-in.tsx';
import { hasPour, known, unshown } from '../state/bench.ts';
import { route } from '../state/route.ts';

/** Pour: before a batch, at the bench, and after it; and the leaves for pours by hand. */
export function PourScreen() {
  const { item } = route.value;
  if (item === 'sheet') return <SheetLeaf />;
  return item === 'typed-in' ? <TypedIn /> : <AtTheBench />;
}

function Leaf() {
  if (unshown.value !== null) return <Unshown batch={unshown.value} />;
  return hasPour.value ? <BenchFace after={<After />} afterBar={<AfterBar />} /> : <Before />;
}

function AtTheBench() {
  useKeys();
  return (
    <div class="pour">
      <Head />
      {known.value && <Leaf />}
    </div>
  );
}
