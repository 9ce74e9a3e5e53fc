import { cautionsDue } from '../../../core/pour/cautions.ts';
import type { Corrections } from '../../../core/pour/correction.ts';
import { mayRevise } from '../../../core/pour/interruptions.ts';
import { lastPour, lineOf, netTotal, nextLine, type PourState } from '../../../core/pour/state.ts';
import type { ActionView } from '../table.ts';

type Do = ActionView['do'];

const action = (what: Do, label: string, key: string, more: Partial<ActionView> = {}): ActionView => ({
  do: what,
  label,
  key,
  primary: false,
  reason: false,
  enabled: true,
  ...more,
});

const pause = action('pause', 'Pause', 'PageUp');
const abandon = action('abandon', 'Abandon the batch', 'A', {
  reason: true,
  means: 'The batch ends here and is never complete. Its record keeps every pour.',
});

/** Skips the line in hand, or the next one while the last is still told: its name says which. */
function skipping(state: PourState): ActionView {
  const last = lastPour(state);
  const next =
    state.inHand === null ? nextLine(state)?.step.title : lineOf(state, state.inHand.line).step.title;
  const after = state.phase === 'bottle' && last !== null && !last.confirmed;
  return action('skip', after ? 'Skip the next line' : 'Skip this line', 'S', {
    reason: true,
    means: `Nothing of ${next ?? 'it'} is poured; the record says so.`,
  });
}

const addLine = action('add-line', 'Add an unplanned line', 'N', {
  reason: true,
  means: 'It has no target: what you pour of it is what the record says.',
});
const endEarly = action('end-early', 'End early', 'E', {
  reason: true,
  means: 'Every line that is left is skipped; the record says what the bottle really holds.',
});

/** Nothing was poured while the gross changed: it is read anew. */
const rereading = (state: PourState, settled: boolean): ActionView[] =>
  state.doubt === null
    ? []
    : [action('re-read', 'Nothing was poured: read it anew', 'R', { enabled: settled })];

function voiding(state: PourState): ActionView[] {
  const pour = lastPour(state);
  return pour === null || pour.confirmed
    ? []
    : [
        action('void', 'Void this pour', 'V', {
          reason: true,
          means:
            'The reading is rejected, not the mass: what is in the vessel is read again. Take out first what must not be in.',
        }),
      ];
}

/** Forgetting to confirm a bottle is a slip of the pedal, not of the pour: what rose is given to its line. */
const alreadyNext = (state: PourState, { risen }: Moment): ActionView[] =>
  risen && mayRevise(state) && nextLine(state) !== null
    ? [action('was-next', 'It was the next bottle', 'U', { enabled: state.lost === null })]
    : [];

function correcting(choices: Corrections): ActionView[] {
  const take = (kind: 'least' | 'exact' | 'keep', label: string, key: string, primary = false) =>
    action('choose', label, key, { choice: kind, primary });
  return choices.least.limits.length === 0
    ? [take('least', 'Take the least correction', 'Space', true)]
    : [take('keep', 'Keep and record', 'Space', true)];
}

/**
 * The bottle, after its cautions: a press of the pedal that is meant for them confirms nothing. Where they are not
 * required the bottle can be taken all the same, by its scan or a key of its own.
 */
function taking(state: PourState, here: boolean): ActionView[] {
  const bottle = 'Right bottle in hand';
  const due = cautionsDue(state).length;
  if (due === 0) return [action('confirm-bottle', bottle, 'Space', { primary: true, enabled: here })];
  const required = state.facts.cautions === 'required';
  const label = required ? 'Done, heeded' : due === 1 ? 'Heeded' : `All ${due} heeded`;
  return [
    action('heed', label, 'Space', { primary: true, enabled: here }),
    ...(required ? [] : [action('confirm-bottle', bottle, 'O', { enabled: here })]),
  ];
}

/** What the moment tells the actions about the reading. */
export interface Moment {
  readonly settled: boolean;
  /** Something of the line in hand is in the vessel. */
  readonly begun: boolean;
  /** The reading rose since the last capture, and no pour was begun for it. */
  readonly risen: boolean;
}

const primary = (what: Do, label: string, enabled = true): ActionView =>
  action(what, label, 'Space', { primary: true, enabled });

/** While a line is poured. One without a target is done when the person says so: by the pedal too, once it rests. */
function pouring(state: PourState, moment: Moment, here: boolean): ActionView[] {
  const { inHand } = state;
  const free = inHand !== null && lineOf(state, inHand.line).step.unplanned === true;
  const last = rereading(state, moment.settled);
  if (free && moment.begun && moment.settled)
    return [primary('accept-under', 'Keep as it is', here), pause, ...last];
  return [
    primary('settle', 'Settle', here),
    pause,
    moment.begun
      ? action('accept-under', 'Keep as it is', 'K', { enabled: moment.settled && here })
      : { ...skipping(state), enabled: here && moment.settled },
    ...last,
  ];
}

/**
 * What can be done now, the primary first. Every action has a key; the primary has the space bar, which enter, page
 * down and a foot pedal share.
 */
export function actionsOf(state: PourState, moment: Moment, choices: Corrections | null): ActionView[] {
  if (state.phase === 'closed' || state.phase === 'abandoned') return [];
  const here = state.lost === null;
  if (state.lifted !== null)
    return [
      primary('was-zeroed', 'It stands there: the display was zeroed', moment.settled && here),
      pause,
      abandon,
    ];
  /* Drift is seen only at rest; with the balance away there is nothing to wait for. */
  if (state.paused !== null) return [primary('resume', 'Resume', moment.settled || !here), abandon];
  switch (state.phase) {
    case 'vessel':
      return [primary('confirm-vessel', 'Take the vessel', moment.settled && here), pause, abandon];
    case 'bottle':
      return [
        ...taking(state, here),
        pause,
        ...alreadyNext(state, moment),
        ...rereading(state, moment.settled),
        ...voiding(state),
        skipping(state),
        addLine,
        { ...endEarly, enabled: netTotal(state).gt(0) },
        abandon,
      ];
    case 'pouring':
      return pouring(state, moment, here);
    case 'over':
      return [
        ...(choices === null ? [] : correcting(choices)),
        pause,
        ...alreadyNext(state, moment),
        ...voiding(state),
      ];
    case 'withdrawing':
      return [
        primary('settle', 'Settle', here),
        pause,
        action('accept-under', 'No more is taken out', 'K', { enabled: moment.settled && here }),
        abandon,
      ];
    case 'closing':
      if (state.closing !== null) return [primary('close', 'Close the batch', here), pause, abandon];
      return [
        primary('close', 'Close the batch', moment.settled && here),
        action('weigh-off', 'Check the empty pan first', 'W', { enabled: moment.settled && here }),
        pause,
        ...voiding(state),
        addLine,
        abandon,
      ];
  }
}
