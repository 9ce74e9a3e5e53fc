import { useEffect } from 'preact/hooks';
import { momentText } from '../figures/moment.ts';
import { link } from '../state/bench.ts';
import { care, fetchCare } from '../state/care.ts';
import { benchId } from '../state/host.ts';
import { fragmentOf } from '../state/route.ts';
import { VerdictShape } from './verdict.tsx';

/** Before a batch: a quiet line where the daily check of this balance is overdue, doubtful or failed. It blocks nothing. */
export function CheckLine() {
  // Another balance on the bench has checks of its own.
  useEffect(() => void fetchCare(), [benchId.value, link.value]);
  const check = care.value?.check;
  if (check === undefined || link.value === 'none') return null;
  const { verdict, overdue, at } = check;
  if (verdict === 'pass' && !overdue) return null;
  return (
    <section class="check-line" aria-label="Check of the balance">
      <p>
        <VerdictShape verdict={verdict} />{' '}
        {verdict === 'fail' || verdict === 'doubtful'
          ? check.text
          : at === null
            ? check.text
            : `The daily check is overdue: the last was ${momentText(at)}.`}
      </p>
      <p>
        <a href={fragmentOf('balance', 'care:daily')}>Check it now</a>
      </p>
    </section>
  );
}
