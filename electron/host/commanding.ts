import type { PourCommand } from '../../core/pour/commands.ts';
import type { Settled } from '../../core/weighing/settling.ts';
import type { Input } from './table.ts';
import { HostTrouble } from './trouble.ts';

/** The command of the core that a window's action stands for, with the reading at rest at this moment. */
export function commandOf(input: Input<'pour.do'>, settled: Settled | null): PourCommand {
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
      return { type: 'pause', why: reason.trim() || 'by hand' };
    case 'resume':
      return { type: 'resume' };
    case 'void':
      return { type: 'void', reason };
    case 'skip':
      return { type: 'skip', reason, settled };
    case 'close':
      return { type: 'close', settled };
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
