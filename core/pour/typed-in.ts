import { decimal, plain } from '../quantity/decimal.ts';
import { type Settled, TYPED_RULE } from '../weighing/settling.ts';
import { type PourCommand, PourRefusal } from './commands.ts';
import { decide } from './decide.ts';
import type { PourEvent, StartFacts } from './events.ts';
import { evolve, fold } from './evolve.ts';
import { nextLine, type PourState } from './state.ts';

/** What stands on a sheet beside a line: its net, or what the display showed before and after. Masses in g. */
export interface SheetLine {
  readonly line: string;
  readonly net?: string;
  readonly before?: string;
  readonly after?: string;
}

/** The figures of a sheet that was written where no computer was. */
export interface Sheet {
  /** Gross of the empty vessel; absent where it was tared. */
  readonly vessel?: string;
  readonly lines: readonly SheetLine[];
  /** Gross of vessel and batch at the end, as the display showed it; absent where nobody read it. */
  readonly closing?: string;
}

const WHERE = 'the sheet';

/**
 * A figure of the sheet that cannot be. `where` names its place: "vessel", "closing", or "net of", "before of" and
 * "after of" a line's id.
 */
export class SheetRefusal extends PourRefusal {
  readonly where: string;
  constructor(what: string, where: string, next: string) {
    super(what, next);
    this.name = 'SheetRefusal';
    this.where = where;
  }
}

/** What the rules of the pour refuse, told at the place of the sheet that it comes from. */
function placed<T>(where: string, act: () => T): T {
  try {
    return act();
  } catch (cause) {
    if (cause instanceof PourRefusal && !(cause instanceof SheetRefusal))
      throw new SheetRefusal(cause.message, where, `Look at ${WHERE} again.`);
    throw cause;
  }
}

/** Leads a batch by the figures of a sheet, through the same rules as a pour at the balance. */
class Typing {
  state: PourState;
  readonly events: PourEvent[] = [];
  readonly #at: number;

  constructor(facts: StartFacts, at: number) {
    const started: PourEvent = { type: 'started', ...facts };
    this.events.push(started);
    this.state = fold([started]);
    this.#at = at;
  }

  do(command: PourCommand): void {
    for (const event of decide(this.state, command)) {
      this.events.push(event);
      this.state = evolve(this.state, event);
    }
  }

  read(g: string): Settled {
    return { g, at: this.#at, since: this.#at, readings: 1, rule: TYPED_RULE };
  }

  /** Pours one line to `after`, whatever comes of it: the vessel has it already. */
  line(id: string, before: string | null, after: string, title: string): void {
    placed(`${before === null ? 'net' : 'before'} of ${id}`, () =>
      this.do({
        type: 'confirm-bottle',
        how: 'from a sheet',
        settled: before === null ? null : this.read(before),
      }),
    );
    const settled = this.read(after);
    const where = `${before === null ? 'net' : 'after'} of ${id}`;
    if (this.state.inHand?.before.gte(after) === true)
      throw new SheetRefusal(
        before === null
          ? `${title}: the net is not more than nothing.`
          : `${title}: ${after} g after is not more than ${plain(this.state.inHand.before)} g before.`,
        where,
        `Look at ${WHERE} again.`,
      );
    placed(where, () => this.do({ type: 'accept-under', settled }));
    if (this.state.phase === 'over') this.do({ type: 'choose', choice: 'keep' });
  }
}

/** The figures of one line of the sheet. @throws PourRefusal where they are neither a net nor a before and after */
function figuresOf(
  given: SheetLine,
  gross: PourState['gross'],
  title: string,
): { before: string | null; after: string } {
  const { net, before, after } = given;
  if (net !== undefined && before === undefined && after === undefined)
    return { before: null, after: plain((gross ?? decimal('0')).plus(decimal(net))) };
  if (net === undefined && before !== undefined && after !== undefined) return { before, after };
  throw new SheetRefusal(
    `${title} has neither a net alone nor a before and an after.`,
    `net of ${given.line}`,
    'Give one or the other.',
  );
}

/**
 * The events of a batch whose figures were written on a sheet and typed in afterwards, all through the rules of the
 * pour. A line outside its window is kept as it is; a line that the sheet leaves out is skipped. The lines are taken
 * in the order of the plan.
 * @param at when it was typed in, ms
 * @throws SheetRefusal that names the place where the figures cannot be; PourRefusal where nothing was poured;
 * RangeError for a line the plan does not have
 */
export function typedIn(facts: StartFacts, sheet: Sheet, at: number): PourEvent[] {
  const typing = new Typing(facts, at);
  const byLine = new Map(sheet.lines.map((line) => [line.line, line]));
  for (const { line } of sheet.lines)
    if (!typing.state.lines.some((one) => one.step.line === line))
      throw new RangeError(`the plan has no line "${line}"`);
  if (byLine.size < sheet.lines.length)
    throw new PourRefusal('A line stands on the sheet twice.', 'Give the sum, or its last after.');
  const { vessel } = sheet;
  placed('vessel', () =>
    typing.do({ type: 'confirm-vessel', tared: vessel === undefined, settled: typing.read(vessel ?? '0') }),
  );
  for (let next = nextLine(typing.state); next !== null; next = nextLine(typing.state)) {
    const given = byLine.get(next.step.line);
    if (given === undefined) {
      typing.do({ type: 'skip', reason: 'not on the sheet', settled: null });
      continue;
    }
    const { before, after } = figuresOf(given, typing.state.gross, next.step.title);
    typing.line(next.step.line, before, after, next.step.title);
  }
  return ended(typing, sheet);
}

function ended(typing: Typing, { closing }: Sheet): PourEvent[] {
  const { gross } = typing.state;
  if (typing.state.pours.length === 0 || gross === null)
    throw new PourRefusal('Nothing was poured by this sheet.', 'Type the figures of its lines.');
  if (closing === undefined)
    typing.do({
      type: 'note',
      what: 'no closing gross',
      detail: 'the sheet has none: the closure is nought because it was computed, not because it was read',
    });
  placed('closing', () => typing.do({ type: 'close', settled: typing.read(closing ?? plain(gross)) }));
  return typing.events;
}
