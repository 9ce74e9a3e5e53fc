import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { Workplace } from '../../../core/formula/batch.ts';
import { plan } from '../../../core/formula/plan.ts';
import { remedies, WEAKER_BY } from '../../../core/formula/remedies.ts';
import { FormulaTrouble } from '../../../core/formula/trouble.ts';
import { Decimal, type DecimalText, decimal } from '../../../core/quantity/decimal.ts';
import { ABSOLUTE, dilution, formula, JEWELLERY, materialsOf, neat } from './workshop.ts';

const share = (min: number, max: number) =>
  fc.integer({ min, max }).map((parts) => new Decimal(parts).div(10_000).toString());

/** A shelf with one or two bottles of rose, neat or diluted, and a line poured from the first of them. */
const shelves = fc
  .record({
    strengths: fc.array(fc.oneof(fc.constant('1'), fc.constant('0.49'), share(300, 9900)), {
      minLength: 1,
      maxLength: 2,
    }),
    line: share(2, 2000),
    /* A large drop learnt of the bottle in use, where a new one is held to have a typical drop. */
    drop: fc.constantFrom(undefined, '0.045'),
    batch: fc.constantFrom('2', '10', '20', '40', '100'),
  })
  .map(({ strengths, line, batch, drop }) => {
    const lots = strengths.map((strength, at) => ({
      ...(strength === '1' ? neat('rose') : dilution('rose', strength)),
      code: `R${at}`,
      ...(drop === undefined ? {} : { drop }),
    }));
    const place: Workplace = {
      lots: [...lots, ABSOLUTE],
      materials: materialsOf([...lots, ABSOLUTE]),
      balance: JEWELLERY,
    };
    return { place, asked: formula(batch, [`rose ${line} R0`, 'ethanol qs ETA']) };
  });

const strengthOf = (place: Workplace, code: string | undefined): DecimalText =>
  place.lots.find((lot) => lot.code === code)?.composition.rose ?? '0';

describe('a dilution to make first', () => {
  it('is weaker by a fifth or more than the bottle it is made from and the one that is poured now', () => {
    let offered = 0;
    fc.assert(
      fc.property(shelves, ({ place, asked }) => {
        let found: ReturnType<typeof remedies>;
        try {
          found = remedies(asked, 'l1', place);
        } catch (cause) {
          if (cause instanceof FormulaTrouble) return;
          throw cause;
        }
        const now = plan(asked, place.materials, place.lots, JEWELLERY).steps.find(
          (one) => one.line === 'l1',
        );
        for (const remedy of found) {
          if (remedy.kind !== 'dilution') continue;
          offered++;
          const from = strengthOf(place, remedy.first.lines[0]?.lot);
          expect(Number(remedy.strength)).toBeLessThanOrEqual(Number(WEAKER_BY.times(from)));
          expect(Number(remedy.strength)).toBeLessThanOrEqual(
            Number(WEAKER_BY.times(strengthOf(place, 'R0'))),
          );
          const larger = decimal(remedy.target).div(now?.target ?? '1');
          expect(larger.times(WEAKER_BY).toNumber()).toBeGreaterThanOrEqual(1 - 1e-9);
        }
      }),
      { numRuns: 400 },
    );
    expect(offered).toBeGreaterThan(50);
  });
});
