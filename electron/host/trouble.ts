import { z } from 'zod';
import { FormulaTrouble } from '../../core/formula/trouble.ts';
import { PourRefusal } from '../../core/pour/commands.ts';
import { LinkTrouble } from '../../drivers/link/balance.ts';
import { StoreTrouble } from './store/trouble.ts';
import type { Trouble } from './table.ts';

/** A request that cannot be met: what, where, and what to do next. */
export class HostTrouble extends Error {
  readonly where: string | null;
  readonly next: string;
  constructor(what: string, where: string | null, next: string) {
    super(what);
    this.name = 'HostTrouble';
    this.where = where;
    this.next = next;
  }
}

/** Errors that carry what to do next, whoever threw them. */
interface Telling extends Error {
  readonly next: string;
  readonly where?: string | null;
}

const tells = (cause: unknown): cause is Telling =>
  cause instanceof HostTrouble ||
  cause instanceof LinkTrouble ||
  cause instanceof StoreTrouble ||
  cause instanceof PourRefusal ||
  (cause instanceof Error && 'next' in cause && typeof cause.next === 'string');

/** What an error says, as a sentence. */
export const sentence = (text: string): string => `${text.charAt(0).toUpperCase()}${text.slice(1)}.`;

/** A formula that cannot be planned: every problem is told; the place and the next step are those of the first. */
function ofFormula({ problems }: FormulaTrouble, where: string): Trouble {
  const [first] = problems;
  if (first === undefined)
    return { what: 'The formula cannot be planned.', where, next: 'Look at its lines.' };
  return { what: problems.map(({ what }) => sentence(what)).join(' '), where: first.field, next: first.next };
}

/** Any error as it is shown in a window: nothing is hidden, and every one has a next step. */
export function troubleOf(cause: unknown, where: string): Trouble {
  if (cause instanceof FormulaTrouble) return ofFormula(cause, where);
  if (tells(cause)) return { what: cause.message, where: cause.where ?? null, next: cause.next };
  if (cause instanceof z.ZodError) {
    const first = cause.issues[0];
    const field =
      first === undefined || first.path.length === 0 ? where : `${where}, ${first.path.join('.')}`;
    return {
      what: first?.message ?? 'The request is not understood.',
      where: field,
      next: 'Correct it and try again.',
    };
  }
  const what = cause instanceof Error ? cause.message : String(cause);
  return {
    what,
    where,
    next: 'Nothing stored was changed. Try again; if it stays, export your records and restart.',
  };
}
