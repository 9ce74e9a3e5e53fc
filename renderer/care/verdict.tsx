import type { HistoryRow } from '../state/care.ts';

type Verdict = HistoryRow['verdict'] | 'none';

const WORDS: Readonly<Record<Verdict, string>> = {
  pass: 'pass',
  doubtful: 'doubtful',
  fail: 'fail',
  stopped: 'stopped',
  unreadable: 'cannot be read',
  none: 'never checked',
};

/** How a check ended, by shape first: a tick, a wave, a cross, a bar, a broken bar, an empty round. */
export function VerdictShape({ verdict, says }: { readonly verdict: Verdict; readonly says?: string }) {
  return (
    <span class={`verdict ${verdict}`}>
      <svg class="mark" viewBox="0 0 14 14" aria-hidden="true">
        {verdict === 'pass' && <path class="hollow" d="M1.5 7.5 5.5 11.5 12.5 2.5" />}
        {verdict === 'doubtful' && <path class="hollow" d="M1 8.5C3.5 3.5 5 4 7 7S10.5 10.5 13 5.5" />}
        {verdict === 'fail' && <path class="hollow" d="M2 2 12 12M12 2 2 12" />}
        {verdict === 'stopped' && <path class="hollow" d="M2 7H12" />}
        {verdict === 'unreadable' && <path class="hollow" d="M1 7H5M9 7H13" />}
        {verdict === 'none' && <circle class="hollow" cx="7" cy="7" r="5" />}
      </svg>
      {says ?? WORDS[verdict]}
    </span>
  );
}
