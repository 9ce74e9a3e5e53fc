import { useEffect, useRef } from 'preact/hooks';
import type { LadderRung } from '../../electron/host/table.ts';
import { tied } from '../figures/tied.ts';
import { scrolls } from '../parts/scrolls.ts';
import { MarkShape } from '../parts/shapes.tsx';
import { ladder } from '../state/bench.ts';

const PLACES = { done: 'done', now: 'now', next: 'to come' } as const;

function Rung({ rung }: { rung: LadderRung }) {
  const element = useRef<HTMLLIElement>(null);
  const { place } = rung;
  useEffect(() => {
    if (place === 'now') element.current?.scrollIntoView({ block: 'nearest' });
  }, [place]);
  const under = [rung.sub, rung.topUp ? 'top-up' : ''].filter((part) => part !== '').join(' · ');
  return (
    <li ref={element} class={`rung ${place}`} aria-current={place === 'now' ? 'step' : undefined}>
      <span class="rung-name">
        <span class="rung-title">{tied(rung.title)}</span>
        <span class="unseen">, {PLACES[place]}</span>
        {under !== '' && <small>{under}</small>}
      </span>
      <span class="rung-figure">
        {rung.figure ?? ''}
        {rung.figure !== null && <span class="unseen"> g</span>}
      </span>
      <MarkShape mark={rung.mark} />
    </li>
  );
}

/** The ladder of steps from the vessel to the last line, with their nets at the right. */
export function Ladder() {
  return (
    <section class="ladder" aria-label="Steps" {...scrolls}>
      <ol>
        {ladder.value.map((rung) => (
          <Rung key={rung.line} rung={rung} />
        ))}
      </ol>
    </section>
  );
}
