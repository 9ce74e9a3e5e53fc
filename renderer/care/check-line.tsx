import { useEffect } from 'preact/hooks';
import { link } from '../state/bench.ts';
import { type CareView, care, fetchCare, fetchRun, run } from '../state/care.ts';
import { benchId } from '../state/host.ts';
import { fragmentOf } from '../state/route.ts';
import { VerdictShape } from './verdict.tsx';

type Check = CareView['check'];

/** A check that passed is only told once it is overdue. */
const STANDS: Readonly<Record<Check['verdict'], string>> = {
  pass: 'check overdue',
  doubtful: 'check doubtful',
  fail: 'check failed',
  none: 'never checked',
};

const isGood = ({ verdict, overdue }: Check): boolean => verdict === 'pass' && !overdue;

/** How the balance stands: how its last check ended, or that one that passed is overdue. */
function CheckShape({ check: { verdict } }: { check: Check }) {
  return <VerdictShape verdict={verdict === 'pass' ? 'none' : verdict} says={STANDS[verdict]} />;
}

/** While a batch is on the bench: the same in a word, beside the balance. */
export function CheckMark() {
  useEffect(() => void fetchCare(), [benchId.value, link.value]);
  const check = care.value?.check;
  if (check === undefined || link.value === 'none' || isGood(check)) return null;
  return (
    <span class="bench-check" title={check.text}>
      <CheckShape check={check} />
    </span>
  );
}

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
  if (isGood(check)) return null;
  return (
    <section class="check-line" aria-label="Check of the balance">
      <p>
        <CheckShape check={check} /> {check.text}
      </p>
      <p>
        <a href={fragmentOf('balance', 'care:daily')}>Check it now</a>
      </p>
    </section>
  );
}
