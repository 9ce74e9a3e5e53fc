import type { LadderRung, LiveView, PlanView } from '../../electron/host/table.ts';

type Mark = LadderRung['mark'];
type Sureness = PlanView['steps'][number]['sureness'];

const MARK_WORDS: Readonly<Record<Mark, string>> = {
  none: '',
  inside: 'inside',
  over: 'over',
  under: 'under',
  kept: 'kept',
  skipped: 'skipped',
};

/** How a line ended, by shape first: a dot inside, a wedge up over, a wedge down under, a ring kept, a bar skipped. */
export function MarkShape({ mark }: { mark: Mark }) {
  if (mark === 'none') return <span class="mark" />;
  return (
    <svg class={`mark ${mark}`} viewBox="0 0 14 14" role="img" aria-label={MARK_WORDS[mark]}>
      {mark === 'inside' && <circle cx="7" cy="7" r="4.2" />}
      {mark === 'over' && <path d="M7 1.5 13 12.5H1Z" />}
      {mark === 'under' && <path d="M7 12.5 1 1.5H13Z" />}
      {mark === 'kept' && <circle class="hollow" cx="7" cy="7" r="4.2" />}
      {mark === 'skipped' && <path class="hollow" d="M2 7H12" />}
    </svg>
  );
}

export const markWord = (mark: Mark): string => MARK_WORDS[mark];

/** How sure a line can be weighed: a full, a half and an empty round, with its word. */
export function SurenessShape({ sureness }: { sureness: Sureness }) {
  return (
    <span class={`sureness ${sureness}`}>
      <svg class="mark" viewBox="0 0 14 14" aria-hidden="true">
        <circle class="hollow" cx="7" cy="7" r="5.2" />
        {sureness === 'sure' && <circle cx="7" cy="7" r="5.2" />}
        {sureness === 'coarse' && <path d="M7 1.8A5.2 5.2 0 0 0 7 12.2Z" />}
      </svg>
      {sureness}
    </span>
  );
}

const LINK_WORDS: Readonly<Record<LiveView['link'], string>> = {
  none: 'no balance',
  opening: 'opening',
  live: 'live',
  silent: 'silent',
  lost: 'lost',
};

/** State of the way to the balance: a full round when live, a ring while opening or silent, a cross when lost. */
export function LinkShape({ link }: { link: LiveView['link'] }) {
  return (
    <span class={`link-state ${link}`}>
      <svg class="mark" viewBox="0 0 14 14" aria-hidden="true">
        {link === 'live' && <circle cx="7" cy="7" r="5" />}
        {(link === 'opening' || link === 'silent') && <circle class="hollow" cx="7" cy="7" r="5" />}
        {(link === 'lost' || link === 'none') && <path class="hollow" d="M2 2 12 12M12 2 2 12" />}
      </svg>
      {LINK_WORDS[link]}
    </span>
  );
}
