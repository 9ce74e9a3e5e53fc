import { useEffect } from 'preact/hooks';
import { momentText } from '../figures/moment.ts';
import { TrialNotes } from '../record/trials.tsx';
import { fragmentOf } from '../state/route.ts';
import { fetchTrialsOf, type TrialOfFormula, trialsOf } from '../state/trials.ts';

function One({ one }: { one: TrialOfFormula }) {
  const { blotters, matures, notes } = one.trial;
  const open = blotters.flatMap((blotter) => blotter.times).filter((time) => time.state === 'due').length;
  return (
    <section aria-label={`${one.name}, ${momentText(one.started)}`}>
      <h3 class="caption">
        <a href={fragmentOf('records', one.batch)}>
          {one.name}, {momentText(one.started)}
        </a>
      </h3>
      <p class="soft">
        version {one.n} · {blotters.length} {blotters.length === 1 ? 'blotter' : 'blotters'}
        {open > 0 && ` · ${open} due`}
        {matures !== null && ` · matured on ${matures.on}`}
      </p>
      <TrialNotes notes={notes} />
    </section>
  );
}

/** What was smelled of the batches of a formula, the newest batch first. */
export function TrialsOfFormula({ id }: { id: string }) {
  useEffect(() => void fetchTrialsOf(id), [id]);
  const now = trialsOf.value;
  if (now === null || now.id !== id) return null;
  if (now.all.length === 0)
    return (
      <p class="soft">
        No trial yet. On the record of a closed batch, blotters are dipped and smelled again after 15 minutes,
        1, 4 and 24 hours, or at times of your own.
      </p>
    );
  return (
    <>
      {now.all.map((one) => (
        <One key={one.batch} one={one} />
      ))}
    </>
  );
}
