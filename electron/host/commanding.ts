import type { Lot, Material } from '../../core/formula/types.ts';
import { cautionsDue } from '../../core/pour/cautions.ts';
import type { PourCommand } from '../../core/pour/commands.ts';
import type { PourState } from '../../core/pour/state.ts';
import type { Settled } from '../../core/weighing/settling.ts';
import type { Input } from './table.ts';
import { HostTrouble } from './trouble.ts';

/** What a command may speak of beyond the moment. */
export interface CommandBeside {
  readonly state: PourState | null;
  workshop(): { readonly lots: readonly Lot[]; readonly materials: readonly Material[] };
}

function addLine(input: Input<'pour.do'>, reason: string, beside: CommandBeside): PourCommand {
  const { lots, materials } = beside.workshop();
  const lot = lots.find((one) => one.code === input.lot);
  if (lot === undefined)
    throw new HostTrouble(
      input.lot === undefined ? 'No lot was named.' : `There is no lot "${input.lot}" in the organ.`,
      'Pour',
      'Choose a lot of the organ, or scan its code.',
    );
  const held = materials.filter((one) => Number(lot.composition[one.key] ?? '0') > 0);
  return { type: 'add-line', lot, materials: held, reason };
}

function heed(input: Input<'pour.do'>, { state }: CommandBeside): PourCommand {
  const due = state === null ? [] : cautionsDue(state);
  const [first, ...others] = due;
  const found = input.caution === undefined ? first : due.find((one) => one.key === input.caution);
  if (found === undefined)
    throw new HostTrouble('This caution is not due.', 'Pour', 'Follow the present step.');
  /* Where a teacher requires them each is heeded by itself. */
  const alone = input.caution !== undefined || state?.facts.cautions === 'required';
  return { type: 'heed', caution: found.key, also: alone ? [] : others.map(({ key }) => key) };
}

/** The command of the core that a window's action stands for, with the reading at rest at this moment. */
export function commandOf(
  input: Input<'pour.do'>,
  settled: Settled | null,
  beside: CommandBeside,
): PourCommand {
  const reason = input.reason ?? '';
  switch (input.do) {
    case 'confirm-vessel':
      return { type: 'confirm-vessel', settled };
    case 'confirm-bottle':
      return {
        type: 'confirm-bottle',
        how: input.lot === undefined ? 'by eye' : 'by scan',
        lot: input.lot,
        settled,
      };
    case 'accept-under':
      return { type: 'accept-under', settled };
    case 'choose':
      if (input.choice === undefined)
        throw new HostTrouble('No correction was named.', 'Pour', 'Choose one of the cards.');
      return { type: 'choose', choice: input.choice };
    case 'pause':
      return { type: 'pause', why: reason.trim() || 'by hand', settled };
    case 'resume':
      return { type: 'resume', settled };
    case 'void':
      return { type: 'void', reason };
    case 'skip':
      return { type: 'skip', reason, settled };
    case 'close':
      return { type: 'close', settled };
    case 'was-zeroed':
      return { type: 'was-zeroed', settled };
    case 'was-next':
      return { type: 'was-next', stood: null };
    case 're-read':
      return { type: 're-read', settled };
    case 'weigh-off':
      return { type: 'weigh-off', settled };
    case 'end-early':
      return { type: 'end-early', reason, settled };
    case 'add-line':
      return addLine(input, reason, beside);
    case 'heed':
      return heed(input, beside);
    case 'abandon':
      return { type: 'abandon', reason };
    case 'settle':
      throw new HostTrouble(
        'Settling is no command of the record.',
        'Pour',
        'Wait until the figures are solid.',
      );
  }
}
