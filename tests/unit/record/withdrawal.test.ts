import { describe, expect, it } from 'vitest';
import type { PourEvent } from '../../../core/pour/events.ts';
import { Decimal, decimal } from '../../../core/quantity/decimal.ts';
import { type AsMadeInput, asMade, leftOf, type NetPour } from '../../../core/record/as-made.ts';
import { pouredOf } from '../../../core/record/pours.ts';
import { asMadeInput, buildRecord } from '../../../core/record/record.ts';
import { readingVariance, uncertaintyOf } from '../../../core/record/uncertainty.ts';
import { verifyRecord } from '../../../core/record/verify.ts';
import { eventText } from '../../../core/record/words.ts';
import { captured, facts, settled, sha256, stored } from './batch.ts';
import { input, limits, lots, pours as madePours } from './made.ts';

/** Rose 2.00 g, cedar 4.40 g too much; 0.64 g of the stirred vessel out, which is a tenth; topped up, q.s., closed. */
const withdrawn: PourEvent[] = [
  { type: 'started', ...facts },
  { type: 'vessel-weighed', gross: '50.00', settled: settled('50.00') },
  captured(1, 'rose', 'R10', ['50.00', '52.00'], '2.00'),
  { type: 'confirmed', pour: 1 },
  captured(2, 'cedar', 'C50', ['52.00', '56.40'], '4.40', 'over'),
  { type: 'confirmed', pour: 2 },
  {
    type: 'withdrawal-begun',
    from: 'stirred',
    kind: 'least',
    low: '0.523636',
    aim: '0.523636',
    high: null,
    before: '56.40',
  },
  {
    type: 'withdrawn',
    from: 'stirred',
    before: '56.40',
    after: '55.80',
    taken: '0.60',
    verdict: 'inside',
    scale: '1',
    targets: [
      { line: 'rose', target: '2', half: '0.02', topUp: { low: '0.18', aim: '0.19', high: '0.21' } },
      { line: 'cedar', target: '4', half: '0.04', topUp: null },
      { line: 'ethanol', target: '14', half: '0.14', topUp: null },
    ],
    total: '20',
    settled: settled('55.80'),
  },
  {
    type: 'withdrawal-revised',
    after: '55.76',
    taken: '0.64',
    verdict: 'inside',
    scale: '1',
    targets: [
      { line: 'rose', target: '2', half: '0.02', topUp: { low: '0.18', aim: '0.2', high: '0.22' } },
      { line: 'cedar', target: '4', half: '0.04', topUp: null },
      { line: 'ethanol', target: '14', half: '0.14', topUp: null },
    ],
    total: '20',
    settled: settled('55.76'),
  },
  captured(3, 'rose', 'R10', ['55.76', '55.96'], '0.20'),
  { type: 'confirmed', pour: 3 },
  captured(4, 'ethanol', 'E96', ['55.96', '69.96'], '14.00'),
  { type: 'confirmed', pour: 4 },
  { type: 'closed', gross: '69.96', closure: '0.00', settled: settled('69.96') },
];

const record = buildRecord(stored(withdrawn));
const lineOf = (id: string) => record.asMade.lines.find((line) => line.line === id);

describe('the record of a batch with a withdrawal', () => {
  it('keeps the nets as read, and counts of each what stays', () => {
    expect(record.pours.map((pour) => [pour.net, pour.stays ?? 'all'])).toEqual([
      ['2.00', '0.9'],
      ['4.40', '0.9'],
      ['0.20', 'all'],
      ['14.00', 'all'],
    ]);
    expect(record.withdrawals).toEqual([
      { pour: 2, from: 'stirred', before: '56.40', after: '55.76', taken: '0.64' },
    ]);
  });

  it('tells what is in the vessel, by lines and in all', () => {
    expect([lineOf('rose')?.poured, lineOf('cedar')?.poured]).toEqual(['2.00', '3.96']);
    expect(record.asMade.total).toBe('19.96');
    expect(record.asMade.lines.map((line) => line.mark)).toEqual(['inside', 'inside', 'inside']);
  });

  it('has the composition of what is in the vessel', () => {
    /* 2.00 g at 0.096 and 3.96 g at 0.5 of 19.96 g. */
    const of = (key: string) => record.asMade.composition.find((one) => one.material === key)?.fraction;
    expect(of('rose')).toBe(decimal('0.192').div('19.96').toFixed(12));
    expect(of('cedar')).toBe(decimal('1.98').div('19.96').toFixed(12));
  });

  it('lists the lots as they gave', () => {
    expect(record.asMade.lots.map(({ lot, mass }) => [lot, mass])).toEqual([
      ['R10', '2.20'],
      ['C50', '4.40'],
      ['E96', '14.00'],
    ]);
  });

  it('closes with what was taken out', () => {
    expect(record.batch.closure).toBe('0.00');
    expect(record.closure?.verdict).toBe('within');
  });

  it('verifies, and an altered withdrawal is named', () => {
    expect(verifyRecord(sha256, record)).toEqual({ ok: true, problems: [] });
    const altered = (event: PourEvent, field: 'taken' | 'after'): PourEvent =>
      event.type === 'withdrawal-revised'
        ? { ...event, [field]: field === 'taken' ? '0.50' : '55.90' }
        : event;
    for (const field of ['taken', 'after'] as const) {
      const events = record.events.map((one) => ({ ...one, event: altered(one.event, field) }));
      const { ok, problems } = verifyRecord(sha256, { ...record, events });
      expect(ok).toBe(false);
      expect(problems.map((problem) => problem.where)).toEqual(
        expect.arrayContaining(['events[8]', 'events[8].event.taken']),
      );
    }
    /* Chained anew by someone who knows how: the figures still give it away. */
    const forged = buildRecord(stored(withdrawn.map((event) => altered(event, 'taken'))));
    expect(verifyRecord(sha256, forged).problems.map((problem) => problem.where)).toContain(
      'events[8].event.taken',
    );
  });

  it('refuses a revision of a withdrawal that never was', () => {
    const without = withdrawn.filter((event) => event.type !== 'withdrawn');
    expect(() => pouredOf(stored(without))).toThrow('never made');
  });

  it('says each event in a sentence', () => {
    const text = withdrawn.flatMap((event) => (event.type.startsWith('withdraw') ? [eventText(event)] : []));
    expect(text).toEqual([
      'To withdraw from the vessel, once stirred: 0.523636 g, or more, counted from 56.40 g.',
      '0.60 g withdrawn from the stirred vessel, at 55.80 g: inside, 1 top-up; settled by test rule.',
      'Withdrawal revised to 0.64 g, at 55.76 g: inside, 1 top-up; settled by test rule.',
    ]);
    expect(eventText({ type: 'withdrawal-left' })).toContain('Nothing was withdrawn');
    expect(
      eventText({ type: 'abandoned', reason: 'started again', followedBy: 'b2', discarded: '2.30' }),
    ).toBe('Abandoned: started again, 2.30 g thrown away; batch b2 follows.');
  });
});

describe('the uncertainty after a withdrawal', () => {
  const after = asMadeInput(pouredOf(stored(withdrawn)));
  const found = uncertaintyOf(after, limits, asMade(after));

  /** Small steps of each gross reading, carried through the whole sum: the law of propagation without its formulas. */
  function byReadings(given: AsMadeInput, of: (given: AsMadeInput) => Decimal): number {
    const grosses = new Map<string, true>();
    const drawn = given.withdrawals ?? [];
    for (const { before, after: end } of [...given.pours, ...drawn]) {
      grosses.set(before.toFixed(), true);
      grosses.set(end.toFixed(), true);
    }
    const at = of(given);
    const tiny = new Decimal('1e-9');
    let sum = 0;
    for (const gross of grosses.keys()) {
      const moved = (mass: Decimal): Decimal => (mass.toFixed() === gross ? mass.plus(tiny) : mass);
      const pours = given.pours.map((pour) => {
        const [before, end] = [moved(pour.before), moved(pour.after)];
        return { ...pour, before, after: end, net: end.minus(before), stays: new Decimal(1) };
      });
      const withdrawals = drawn.map((one) => {
        const [before, end] = [moved(one.before), moved(one.after)];
        return { ...one, before, after: end, taken: before.minus(end) };
      });
      sum +=
        of({ ...given, pours: staying(pours, withdrawals), withdrawals })
          .minus(at)
          .div(tiny)
          .toNumber() ** 2;
    }
    return Math.sqrt(sum * readingVariance(limits));
  }

  function staying(
    pours: readonly NetPour[],
    withdrawals: NonNullable<AsMadeInput['withdrawals']>,
  ): NetPour[] {
    let now = [...pours];
    for (const { place, taken } of withdrawals) {
      const inside = now.slice(0, place).reduce((sum, pour) => sum.plus(leftOf(pour)), new Decimal(0));
      const stays = inside.minus(taken).div(inside);
      now = now.map((pour, i) =>
        i < place ? { ...pour, stays: (pour.stays ?? new Decimal(1)).times(stays) } : pour,
      );
    }
    return now;
  }

  const readings = (u: (typeof found)['strength']): number | undefined =>
    u.sources.find((source) => source.kind === 'readings')?.u;
  const close = (a: number | undefined, b: number) =>
    expect(Math.abs((a ?? Number.NaN) / b - 1)).toBeLessThan(1e-6);

  it('is what a step of each gross reading does to every figure', () => {
    close(
      readings(found.strength),
      byReadings(after, (given) => asMade(given).strength),
    );
    close(
      readings(found.total),
      byReadings(after, (given) => asMade(given).total),
    );
    for (const id of ['rose', 'cedar', 'ethanol'])
      close(
        found.lines.get(id)?.sources.find((source) => source.kind === 'readings')?.u,
        byReadings(
          after,
          (given) => asMade(given).lines.find((line) => line.line === id)?.poured ?? new Decimal(0),
        ),
      );
    for (const key of ['rose', 'cedar', 'ethanol', 'water'])
      close(
        found.materials.get(key)?.sources.find((source) => source.kind === 'readings')?.u,
        byReadings(
          after,
          (given) =>
            asMade(given).composition.find((one) => one.material === key)?.fraction ?? new Decimal(0),
        ),
      );
  });

  it('is so with two withdrawals and a display re-tared between', () => {
    const [first, second, third, ...rest] = madePours;
    if (first === undefined || second === undefined || third === undefined) throw new Error('three pours');
    const draw = (place: number, before: string, end: string) => ({
      place,
      before: decimal(before),
      after: decimal(end),
      taken: decimal(before).minus(end),
    });
    const withdrawals = [draw(2, '56.71', '56.10'), draw(5, '1.02', '0.66')];
    const net = (pour: NetPour, before: string, end: string): NetPour => ({
      ...pour,
      before: decimal(before),
      after: decimal(end),
      net: decimal(end).minus(before),
    });
    const poured = [first, second, net(third, '56.10', '56.22'), ...rest.slice(0, 2)];
    const last = rest[2];
    if (last === undefined) throw new Error('a last pour');
    const pours = staying([...poured, net(last, '0.66', '15.21')], withdrawals);
    const given: AsMadeInput = { ...input, lots, pours, withdrawals };
    const told = uncertaintyOf(given, limits, asMade(given));
    close(
      told.strength.sources.find((source) => source.kind === 'readings')?.u,
      byReadings(given, (one) => asMade(one).strength),
    );
    const total = (one: AsMadeInput) => asMade(one).total;
    close(told.total.sources.find((source) => source.kind === 'readings')?.u, byReadings(given, total));
  });

  it('a withdrawal alone changes no fraction and no uncertainty of one', () => {
    const whole: AsMadeInput = { ...input, pours: madePours.slice(0, 3) };
    const drawn = {
      place: 3,
      before: decimal('56.83'),
      after: decimal('55.83'),
      taken: decimal('1'),
    };
    const less = { ...whole, pours: staying(whole.pours, [drawn]), withdrawals: [drawn] };
    const [a, b] = [asMade(whole), asMade(less)];
    expect(b.strength.minus(a.strength).abs().lt('1e-30')).toBe(true);
    close(uncertaintyOf(less, limits, b).strength.u, uncertaintyOf(whole, limits, a).strength.u);
  });
});
