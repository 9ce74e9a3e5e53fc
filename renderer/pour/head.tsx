import { CheckMark } from '../care/check-line.tsx';
import { LinkShape } from '../parts/shapes.tsx';
import { heading, link, linkWhat } from '../state/bench.ts';

/** Head of the bench: the batch, or the lesson it belongs to, its total, and the balance with its state. */
export function Head({ lesson }: { lesson?: string }) {
  const batch = heading.value;
  return (
    <header class="bench-head">
      <h1>{lesson ?? batch?.name ?? 'Pour'}</h1>
      {batch !== null && <span>{batch.total} g</span>}
      <span class="bench-balance">
        {batch !== null && lesson === undefined && <CheckMark />}
        {linkWhat.value}
        {link.value !== 'none' && <LinkShape link={link.value} />}
      </span>
    </header>
  );
}
