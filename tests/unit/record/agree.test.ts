import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { Lot } from '../../../core/formula/types.ts';
import { type PourCommand, PourRefusal } from '../../../core/pour/commands.ts';
import { decide } from '../../../core/pour/decide.ts';
import type { ChoiceKind, PourEvent } from '../../../core/pour/events.ts';
import { fold } from '../../../core/pour/evolve.ts';
import { Decimal } from '../../../core/quantity/decimal.ts';
import { pouredOf } from '../../../core/record/pours.ts';
import { buildRecord } from '../../../core/record/record.ts';
import { verifyRecord } from '../../../core/record/verify.ts';
import { facts, settled, sha256, stored } from './batch.ts';

/** One act of an erratic hand: a gross in counts of 0.01 g on top of what is on the balance, or a choice. */
type Act =
  | { readonly do: 'pour'; readonly counts: number }
  | { readonly do: 'settle'; readonly counts: number }
  | { readonly do: 'take'; readonly counts: number }
  | { readonly do: 'choose'; readonly choice: ChoiceKind }
  | { readonly do: 'void' | 'skip' | 'under' | 'retare' };

const anyAct: fc.Arbitrary<Act> = fc.oneof(
  {
    weight: 5,
    arbitrary: fc.record({ do: fc.constant('pour' as const), counts: fc.integer({ min: 1, max: 900 }) }),
  },
  {
    weight: 2,
    arbitrary: fc.record({ do: fc.constant('settle' as const), counts: fc.integer({ min: -3, max: 30 }) }),
  },
  {
    weight: 3,
    arbitrary: fc.record({
      do: fc.constant('choose' as const),
      choice: fc.constantFrom<ChoiceKind>(
        'exact',
        'least',
        'keep',
        'withdraw-unmixed',
        'withdraw-least',
        'withdraw-exact',
        'bottle-least',
        'bottle-exact',
      ),
    }),
  },
  {
    weight: 3,
    arbitrary: fc.record({ do: fc.constant('take' as const), counts: fc.integer({ min: 1, max: 200 }) }),
  },
  {
    weight: 2,
    arbitrary: fc.record({
      do: fc.constantFrom('void' as const, 'skip' as const, 'under' as const, 'retare' as const),
    }),
  },
);

/** The commands of an act, with the gross it leaves; a command that does not fit the moment is refused and passed over. */
function commands(act: Act, counts: number): { commands: PourCommand[]; counts: number } {
  const rest = (at: number) => settled((at / 100).toFixed(2));
  switch (act.do) {
    case 'pour': {
      const at = counts + act.counts;
      const take: PourCommand = { type: 'confirm-bottle', how: 'by eye', settled: rest(counts) };
      return {
        commands: [take, { type: 'settled', settled: rest(at) }, { type: 'accept-under', settled: rest(at) }],
        counts: at,
      };
    }
    case 'settle': {
      const at = Math.max(0, counts + act.counts);
      return { commands: [{ type: 'settled', settled: rest(at) }], counts: at };
    }
    case 'take': {
      const at = Math.max(0, counts - act.counts);
      const end: PourCommand = { type: 'accept-under', settled: rest(at) };
      return { commands: [{ type: 'settled', settled: rest(at) }, end], counts: at };
    }
    case 'choose':
      return { commands: [{ type: 'choose', choice: act.choice }], counts };
    case 'void':
      return { commands: [{ type: 'void', reason: 'touched' }], counts };
    case 'skip':
      return { commands: [{ type: 'skip', reason: 'none left', settled: rest(counts) }], counts };
    case 'under':
      return { commands: [{ type: 'accept-under', settled: rest(counts) }], counts };
    case 'retare':
      return { commands: [], counts: 0 };
  }
}

/** Every bottle diluted with the same spirit, and rose weaker and neat on the shelf. */
const inSpirit = (key: string, strength: string): Lot['composition'] => {
  const rest = new Decimal(1).minus(strength);
  return {
    [key]: strength,
    ...(rest.isZero() ? {} : { ethanol: rest.times('0.94').toFixed(), water: rest.times('0.06').toFixed() }),
  };
};
const started: PourEvent = {
  type: 'started',
  ...facts,
  lots: [
    { code: 'R10', name: 'Rose 10 %', composition: inSpirit('rose', '0.096'), price: '2' },
    { code: 'C50', name: 'Cedar 50 %', composition: inSpirit('cedar', '0.5'), stock: '4.2' },
    { code: 'E96', name: 'Ethanol 96 %', composition: { ethanol: '0.94', water: '0.06' } },
  ],
  shelf: [
    { code: 'R2', name: 'Rose 2 %', composition: inSpirit('rose', '0.02'), drop: '0.02', stock: '50' },
    { code: 'C90', name: 'Cedar 90 %', composition: inSpirit('cedar', '0.9'), drop: '0.02', stock: '50' },
  ],
};

function led(acts: readonly Act[]): PourEvent[] {
  const events: PourEvent[] = [started];
  const give = (command: PourCommand): void => {
    try {
      events.push(...decide(fold(events), command));
    } catch (cause) {
      if (!(cause instanceof PourRefusal)) throw cause;
    }
  };
  give({ type: 'confirm-vessel', settled: settled('50.00') });
  let counts = 5000;
  for (const act of acts) {
    const next = commands(act, counts);
    for (const command of next.commands) give(command);
    counts = next.counts;
  }
  give({ type: 'close', settled: settled((counts / 100).toFixed(2)) });
  return events;
}

/** A hand that does anything in any order. */
const anyHand = fc.array(anyAct, { maxLength: 25 });

describe('the record of any pour', () => {
  it('agrees with the state of the pour, and verifies', () => {
    fc.assert(
      fc.property(anyHand, (acts) => {
        const events = led(acts);
        const state = fold(events);
        const poured = pouredOf(stored(events));
        expect(
          poured.lines.map((line) => [line.target.toFixed(), line.half.toFixed(), line.poured.toFixed()]),
        ).toEqual(
          state.lines.map((line) => [line.target.toFixed(), line.half.toFixed(), line.poured.toFixed()]),
        );
        expect(poured.pours).toEqual(state.pours);
        expect(poured.withdrawals.reduce((sum, one) => sum.plus(one.taken), new Decimal(0)).toFixed()).toBe(
          state.withdrawn.toFixed(),
        );
        expect(poured.scale.toFixed()).toBe(state.scale.toFixed());
        expect(poured.closure?.toFixed()).toBe(state.closure?.toFixed());
        expect(verifyRecord(sha256, buildRecord(stored(events)))).toEqual({ ok: true, problems: [] });
      }),
      { numRuns: 300 },
    );
  });

  it('is tried by a hand erratic enough to bring about what a record must stand', () => {
    /* The same hands in every run: which events come about must not hang on luck. */
    const seen = new Set<string>();
    for (const acts of fc.sample(anyHand, { seed: 20261125, numRuns: 1000 }))
      for (const event of led(acts)) {
        seen.add(event.type);
        if (event.type === 'correction-chosen' && event.bottle !== undefined) seen.add('another bottle');
      }
    for (const type of [
      'captured',
      'revised',
      'voided',
      'correction-chosen',
      'skipped',
      'withdrawal-begun',
      'withdrawn',
      'another bottle',
      're-zeroed',
      'closed',
    ])
      expect(seen, type).toContain(type);
  });
});
