import { useEffect } from 'preact/hooks';
import { link } from '../state/bench.ts';
import { care, fetchCare, fetchRun, run } from '../state/care.ts';
import { benchId } from '../state/host.ts';
import { fragmentOf } from '../state/route.ts';
import { VerdictShape } from './verdict.tsx';

/** Before a batch: a quiet line where a check is under way, or the daily one is overdue, doubtful or failed. It blocks nothing. */
export function CheckLine() {
  // Another balance on the bench has checks of its own.
  useEffect(() => void Promise.all([fetchCare(), fetchRun()]), [benchId.value, link.value]);
  const step = run.value?.step ?? null;
  if (step !== null)
    return (
      <section class="check-line" aria-label="Check of the balance">
        <p>
          {run.value?.title}, step {step.number} of {step.of}, is under way on this bench. Starting a batch
          stops it.
        </p>
        <p>
          <a href={fragmentOf('balance', `care:${run.value?.kind}`)}>Go on with the check</a>
        </p>
      </section>
    );
  const check = care.value?.check;
  if (check === undefined || link.value === 'none') return null;
  const { verdict, overdue } = check;
  if (verdict === 'pass' && !overdue) return null;
  return (
    <section class="check-line" aria-label="Check of the balance">
      <p>
        {verdict === 'pass' ? (
          <VerdictShape verdict="none" says="overdue" />
        ) : (
          <VerdictShape verdict={verdict} />
        )}{' '}
        {check.text}
      </p>
      <p>
        <a href={fragmentOf('balance', 'care:daily')}>Check it now</a>
      </p>
    </section>
  );
}
