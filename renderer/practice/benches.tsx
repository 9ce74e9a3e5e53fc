import { useEffect } from 'preact/hooks';
import type { Output } from '../../electron/host/table.ts';
import { clockText } from '../figures/moment.ts';
import { scrolls } from '../parts/scrolls.ts';
import { benchName } from '../state/benches.ts';
import { classShown, fetchLearners } from '../state/learners.ts';
import { seen, watchBenches } from '../state/teaching.ts';
import { ClassPick } from './class-pick.tsx';

type Row = Output<'practice.benches'>[number];

function Card({ row }: { row: Row }) {
  const { bench, learner, lesson, step, figure, settled, state, since } = row;
  return (
    <section class="bench-card" data-state={state} aria-label={benchName(bench)}>
      <h2>
        {benchName(bench)}
        <span>{state}</span>
      </h2>
      {lesson === null ? (
        <>
          {learner !== null && (
            <p>
              <b>{learner}</b>
            </p>
          )}
          <p class="soft">{step ?? 'No lesson is under way here.'}</p>
        </>
      ) : (
        <>
          <p>
            <b>{learner}</b> · {lesson}
            {since !== null && <span class="soft"> since {clockText(since)}</span>}
          </p>
          <p class="soft">{step}</p>
        </>
      )}
      <p class="bench-card-figure" data-drawn={settled || figure === null ? 'solid' : 'hollow'}>
        {figure ?? '–'}
      </p>
    </section>
  );
}

/** Every bench of this machine at once: who is learning, what, where in it, and what the balance shows. */
export function AllBenches() {
  useEffect(watchBenches, []);
  useEffect(() => void fetchLearners(), []);
  const of = classShown.value;
  const rows = seen.value?.filter((row) => of === '' || row.classes.includes(of)) ?? [];
  return (
    <section class="paper" aria-label="Every bench" {...scrolls}>
      <ClassPick />
      <div class="bench-cards">
        {rows.map((row) => (
          <Card key={row.bench} row={row} />
        ))}
      </div>
      {seen.value !== null && rows.length === 0 && <p>Nobody of this class learns at a bench now.</p>}
      <p class="soft">
        The benches of this machine, as they are now. More are set up on the Balance screen; each has its own
        balance, and one window or tab is open for each.
      </p>
    </section>
  );
}
