import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  type Correction,
  type CorrectionLine,
  type CorrectionRules,
  corrections,
  newTargets,
} from '../../../core/pour/correction.ts';
import { Decimal, decimal } from '../../../core/quantity/decimal.ts';
import { anyLines, anyRules } from './lines.ts';

const TINY = new Decimal('1e-14');
const sum = (masses: readonly Decimal[]): Decimal => masses.reduce((a, b) => a.plus(b), new Decimal(0));

/** Final masses when each top-up lands at `part` of its interval (0 low, 1 high; null the aim) and the rest on target. */
function finals(lines: readonly CorrectionLine[], choice: Correction, part: number | null): Decimal[] {
  return lines.map((line, i) => {
    const after = choice.lines[i];
    if (after === undefined) throw new Error('a line is gone');
    if (after.topUp !== null) {
      const { low, aim, high } = after.topUp;
      return line.poured.plus(part === null ? aim : low.plus(high.minus(low).times(part)));
    }
    return line.poured.gt(0) ? line.poured : after.target;
  });
}

/** The definition itself, line by line: what forbids this scale, or null. Written without the closed form. */
function forbids(
  kind: 'exact' | 'least',
  line: CorrectionLine,
  k: Decimal,
  { tolerance, d }: CorrectionRules,
): boolean {
  if (line.poured.isZero()) return false;
  const target = k.times(line.target);
  const least = Decimal.max(line.drop, d);
  if (kind === 'exact') {
    const missing = target.minus(line.poured);
    return missing.lt(TINY.neg()) || (missing.gt(TINY) && missing.lt(least.minus(TINY)));
  }
  const half = Decimal.max(tolerance.times(target), d);
  const off = line.poured.minus(target);
  if (off.gt(half.plus(TINY))) return true;
  if (off.gte(half.neg().minus(TINY))) return false;
  /* One least top-up, with a margin of half of it, or a step, but no more than half the window it began with. */
  const margin = Decimal.min(Decimal.max(least.div(2), d), Decimal.max(tolerance.times(line.target), d));
  return off.neg().plus(half).lt(least.plus(margin).minus(TINY));
}

describe('the exact correction', () => {
  it('poured without error gives the composition of the formula to 1e-12', () => {
    fc.assert(
      fc.property(anyLines, anyRules, (lines, given) => {
        const { exact } = corrections(lines, given);
        const masses = finals(lines, exact, null);
        const total = sum(masses);
        const whole = sum(lines.map((line) => line.target));
        for (const [i, line] of lines.entries()) {
          const made = (masses[i] ?? total).div(total);
          expect(made.minus(line.target.div(whole)).abs().lte('1e-12')).toBe(true);
        }
      }),
      { numRuns: 400 },
    );
  });

  it('asks for no top-up below a drop or a step of the display', () => {
    fc.assert(
      fc.property(anyLines, anyRules, (lines, given) => {
        for (const [i, after] of corrections(lines, given).exact.lines.entries()) {
          const least = Decimal.max(lines[i]?.drop ?? 0, given.d);
          if (after.topUp !== null) expect(after.topUp.aim.gte(least.minus(TINY))).toBe(true);
        }
      }),
    );
  });
});

describe('the least correction', () => {
  it('brings every line inside wherever in its interval a top-up lands', () => {
    fc.assert(
      fc.property(anyLines, anyRules, fc.double({ min: 0, max: 1, noNaN: true }), (lines, given, part) => {
        const { least } = corrections(lines, given);
        const masses = finals(lines, least, part);
        for (const [i, after] of least.lines.entries()) {
          const off = (masses[i] ?? new Decimal(Infinity)).minus(after.target).abs();
          expect(off.lte(after.half.plus(TINY))).toBe(true);
        }
        expect(least.allInside).toBe(true);
      }),
      { numRuns: 400 },
    );
  });

  it('leaves every top-up an interval, never one point', () => {
    fc.assert(
      fc.property(anyLines, anyRules, (lines, given) => {
        for (const { topUp } of corrections(lines, given).least.lines)
          if (topUp !== null) expect(topUp.high.minus(topUp.low).gte(given.d.minus(TINY))).toBe(true);
      }),
      { numRuns: 400 },
    );
  });

  it('asks for top-ups of a drop and of a step of the display at least', () => {
    fc.assert(
      fc.property(anyLines, anyRules, (lines, given) => {
        for (const [i, { topUp }] of corrections(lines, given).least.lines.entries()) {
          const least = Decimal.max(lines[i]?.drop ?? 0, given.d);
          if (topUp !== null) expect(topUp.low.gte(least.minus(TINY))).toBe(true);
        }
      }),
    );
  });
});

describe.each(['exact', 'least'] as const)('the scale of the %s correction', (kind) => {
  it('is allowed by the definition', () => {
    fc.assert(
      fc.property(anyLines, anyRules, (lines, given) => {
        const { scale } = corrections(lines, given)[kind];
        expect(scale.gte(1)).toBe(true);
        expect(lines.filter((line) => forbids(kind, line, scale, given)).map((line) => line.id)).toEqual([]);
      }),
      { numRuns: 400 },
    );
  });

  it('is the smallest: just below it, and at any smaller scale tried, a line forbids', () => {
    fc.assert(
      fc.property(
        anyLines,
        anyRules,
        fc.array(fc.double({ min: 0, max: 0.999999, noNaN: true }), {
          minLength: 30,
          maxLength: 30,
        }),
        (lines, given, parts) => {
          const { scale } = corrections(lines, given)[kind];
          if (scale.eq(1)) return;
          const smaller = parts.map((part) => new Decimal(1).plus(scale.minus(1).times(part)));
          const below = scale.times(new Decimal(1).minus('1e-9'));
          for (const k of [...smaller, Decimal.max(1, below)])
            expect(lines.some((line) => forbids(kind, line, k, given))).toBe(true);
        },
      ),
      { numRuns: 400 },
    );
  });
});

describe('a correction of a correction', () => {
  it('starts from the new targets, and ends inside again', () => {
    fc.assert(
      fc.property(anyLines, anyRules, fc.integer({ min: 1, max: 200 }), (lines, given, drops) => {
        const first = corrections(lines, given).least;
        const texts = newTargets(first);
        const masses = finals(lines, first, null);
        const again = lines.map((line, i) => {
          const target = decimal(texts[i]?.target ?? '');
          const more = i === 0 ? line.drop.times(drops).toDecimalPlaces(2) : new Decimal(0);
          return { ...line, target, poured: (masses[i] ?? target).plus(more).toDecimalPlaces(2) };
        });
        const second = corrections(again, given);
        expect(second.least.allInside).toBe(true);
        expect(second.exact.allInside).toBe(true);
      }),
    );
  });
});
