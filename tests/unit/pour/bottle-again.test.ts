import { describe, expect, it } from 'vitest';
import type { Lot } from '../../../core/formula/types.ts';
import { begunAgain } from '../../../core/pour/again.ts';
import { choicesOf } from '../../../core/pour/choices.ts';
import { PourRefusal } from '../../../core/pour/commands.ts';
import type { PourEvent, StartFacts } from '../../../core/pour/events.ts';
import { fold } from '../../../core/pour/evolve.ts';
import { lineOf, nextLine, type PourState } from '../../../core/pour/state.ts';
import { pourWindow } from '../../../core/pour/window.ts';
import { Decimal, decimal, plain } from '../../../core/quantity/decimal.ts';
import { buildRecord } from '../../../core/record/record.ts';
import { verifyRecord } from '../../../core/record/verify.ts';
import { sha256, stored } from '../record/batch.ts';
import { facts, Led, step } from './given.ts';

const lot = (code: string, composition: Record<string, string>, more: Partial<Lot> = {}): Lot => ({
  code,
  name: `bottle ${code}`,
  composition,
  drop: '0.02',
  ...more,
});
const material = (key: string) => ({
  key,
  name: key,
  note: key === 'ethanol' ? null : ('heart' as const),
  family: 'florals',
  kind: key === 'ethanol' ? ('solvent' as const) : ('neat' as const),
});

/** Rose from a half with drops of 0.50 g, cedar neat, ethanol to 30 g. On the shelf: rose at a twentieth, and in glycol. */
const given = (lots: Partial<Record<'L-rose' | 'L-cedar', Partial<Lot>>> = {}): StartFacts => ({
  ...facts,
  plan: {
    ...facts.plan,
    steps: [
      step('rose', '1', { drop: '0.5', half: '0.01' }),
      step('cedar', '1', { drop: '0.02', half: '0.01' }),
      step('ethanol', '28', { qs: true, kind: 'solvent', note: null, half: '0.28' }),
    ],
  },
  materials: ['rose', 'cedar', 'ethanol', 'glycol'].map(material),
  lots: [
    lot('L-rose', { rose: '0.5', ethanol: '0.5' }, { drop: '0.5', price: '4', ...lots['L-rose'] }),
    lot('L-cedar', { cedar: '1' }, { price: '1', ...lots['L-cedar'] }),
    lot('L-ethanol', { ethanol: '1' }, { price: '0.1' }),
  ],
  shelf: [
    lot('R5', { rose: '0.05', ethanol: '0.95' }, { drop: '0.02', price: '0.5', stock: '40' }),
    lot('RG', { rose: '0.05', glycol: '0.95' }, { drop: '0.02', stock: '40' }),
  ],
});

/** Rose 0.99 g, inside; cedar 1.20 g, over: the least top-up of rose is one drop of half a gram. */
function cedarOver(start = given()): Led {
  const led = new Led(start).vessel('50.00');
  led.pour('50.99');
  led.pour('52.19');
  return led;
}

/** Pours the next line to its aim, to the last decimal. */
function pourAim(led: Led): void {
  const { state } = led;
  const line = nextLine(state);
  const { gross } = state;
  if (line === null || gross === null) throw new Error('no line is left');
  led.pour(plain(gross.plus(pourWindow(state, line).aim).toDecimalPlaces(22)));
}

/** Mass fraction of a neat material by the pours and their bottles. */
function fractionOf(state: PourState, key: string): Decimal {
  const zero = new Decimal(0);
  const known = [...state.facts.lots, ...(state.facts.shelf ?? [])];
  const counting = state.pours.filter((pour) => !pour.voided);
  const left = (pour: (typeof counting)[number]) => pour.net.times(pour.stays);
  const total = counting.reduce((sum, pour) => sum.plus(left(pour)), zero);
  const held = counting.reduce(
    (sum, pour) =>
      sum.plus(left(pour).times(known.find((one) => one.code === pour.lot)?.composition[key] ?? '0')),
    zero,
  );
  return held.div(total);
}

const wanted = { rose: new Decimal('0.5').div(30), cedar: new Decimal(1).div(30) };

describe('another bottle', () => {
  it('is offered where a weaker one makes the top-up small enough, in the same solvent', () => {
    const { least, bottleLeast } = choicesOf(cedarOver().state);
    expect(bottleLeast?.bottle).toMatchObject({ line: 'rose', lot: 'R5' });
    expect(bottleLeast?.correction.total.lt(least.total)).toBe(true);
    expect(bottleLeast?.correction.scale.lt(least.scale)).toBe(true);
  });

  it('when chosen, the top-up wants the new bottle and refuses the old one', () => {
    const led = cedarOver();
    const events = led.do({ type: 'choose', choice: 'bottle-exact' });
    expect(events.at(-1)).toMatchObject({
      type: 'correction-chosen',
      choice: 'exact',
      bottle: { line: 'rose', lot: 'R5', title: 'bottle R5', kind: 'dilution', drop: '0.02' },
    });
    expect(nextLine(led.state)?.step).toMatchObject({ line: 'rose', lot: 'R5' });
    const old = () => led.do({ type: 'confirm-bottle', how: 'by scan', lot: 'L-rose', settled: null });
    expect(old).toThrow(PourRefusal);
    const [begun] = led.do({ type: 'confirm-bottle', how: 'by scan', lot: 'R5', settled: null });
    expect(begun).toMatchObject({ type: 'pour-begun', lot: 'R5' });
  });

  it('poured without error gives the formula, and the record lists both bottles', () => {
    const led = cedarOver();
    led.do({ type: 'choose', choice: 'bottle-exact' });
    while (led.state.phase === 'bottle') pourAim(led);
    expect(led.state.phase).toBe('closing');
    for (const key of ['rose', 'cedar'] as const)
      expect(fractionOf(led.state, key).minus(wanted[key]).abs().toNumber()).toBeLessThan(1e-12);
    const record = buildRecord(stored(led.events));
    expect(record.asMade.lots.map((one) => one.lot)).toEqual(['L-rose', 'L-cedar', 'R5', 'L-ethanol']);
    expect(record.lots.map((one) => one.code)).toEqual(['L-rose', 'L-cedar', 'L-ethanol', 'R5']);
    expect(record.asMade.lines.find((line) => line.line === 'rose')?.lot).toBe('R5');
    expect(verifyRecord(sha256, record)).toEqual({ ok: true, problems: [] });
  });

  it('a top-up from it that is overpoured is corrected by what it holds, not by its mass', () => {
    const led = cedarOver();
    led.do({ type: 'choose', choice: 'bottle-exact' });
    const gross = led.state.gross ?? new Decimal(0);
    const line = lineOf(led.state, 'rose');
    led.pour(plain(gross.plus(pourWindow(led.state, line).aim).plus('0.9').toDecimalPlaces(22)));
    expect(led.state.phase).toBe('over');
    led.do({ type: 'choose', choice: 'exact' });
    while (led.state.phase === 'bottle') pourAim(led);
    for (const key of ['rose', 'cedar'] as const)
      expect(fractionOf(led.state, key).minus(wanted[key]).abs().toNumber()).toBeLessThan(1e-12);
  });

  it('and withdrawn from the stirred vessel, the rest still comes to the formula', () => {
    const led = cedarOver();
    led.do({ type: 'choose', choice: 'bottle-exact' });
    const gross = led.state.gross ?? new Decimal(0);
    const line = lineOf(led.state, 'rose');
    led.pour(plain(gross.plus(pourWindow(led.state, line).aim).plus('0.9').toDecimalPlaces(22)));
    led.do({ type: 'choose', choice: 'withdraw-exact' });
    const drawing = led.state.withdrawing;
    if (drawing === null) throw new Error('nothing is being taken out');
    const g = plain(drawing.before.minus(drawing.aim));
    led.do({ type: 'settled', settled: { g, at: 0, since: 0, readings: 8, rule: 'test' } });
    while (led.state.phase === 'bottle') pourAim(led);
    expect(led.state.phase).toBe('closing');
    for (const key of ['rose', 'cedar'] as const)
      expect(fractionOf(led.state, key).minus(wanted[key]).abs().toNumber()).toBeLessThan(1e-12);
  });

  it('is offered for a line to come whose planned bottle does not hold enough', () => {
    const start = given({ 'L-cedar': { stock: '1.05' } });
    const shelf = [lot('C2', { cedar: '0.5', ethanol: '0.5' }, { stock: '20' })];
    const led = new Led({ ...start, shelf }).vessel('50.00');
    led.pour('51.30');
    const { least, bottleLeast } = choicesOf(led.state);
    expect(least.limits.map((limit) => limit.what)).toEqual(['lot']);
    expect(bottleLeast).toMatchObject({ bottle: { line: 'cedar', lot: 'C2' }, correction: { limits: [] } });
    led.do({ type: 'choose', choice: 'bottle-exact' });
    expect(nextLine(led.state)?.step.lot).toBe('C2');
    while (led.state.phase === 'bottle') pourAim(led);
    for (const key of ['rose', 'cedar'] as const)
      expect(fractionOf(led.state, key).minus(wanted[key]).abs().toNumber()).toBeLessThan(1e-12);
  });

  it('is refused where none helps', () => {
    const { shelf: _, ...bare } = given();
    const led = cedarOver(bare);
    expect(choicesOf(led.state).bottleLeast).toBeNull();
    expect(() => led.do({ type: 'choose', choice: 'bottle-least' })).toThrow('No other bottle');
    expect(led.state.phase).toBe('over');
  });
});

describe('starting again', () => {
  it('ends the batch and names the one that follows, with what is thrown away', () => {
    const led = cedarOver();
    const events = led.do({ type: 'choose', choice: 'again', next: 'b2' });
    expect(events.at(-1)).toEqual({
      type: 'abandoned',
      reason: 'started again',
      followedBy: 'b2',
      discarded: '2.19',
    });
    expect(led.state.phase).toBe('abandoned');
    expect(buildRecord(stored(led.events)).batch).toMatchObject({ status: 'abandoned', followedBy: 'b2' });
  });

  it('begins the same plan from bottles that hold what is left', () => {
    const led = cedarOver(given({ 'L-cedar': { stock: '10' } }));
    const first: PourEvent = begunAgain(led.state, 'b1');
    const state = fold([first]);
    expect(state.phase).toBe('vessel');
    expect(state.facts.follows).toBe('b1');
    expect(state.facts.plan).toEqual(led.state.facts.plan);
    expect(state.facts.lots.map((one) => one.stock)).toEqual([undefined, '8.8', undefined]);
    expect(buildRecord(stored([first])).batch.follows).toBe('b1');
  });

  it('is refused where a bottle does not hold enough for it, and without a name for what follows', () => {
    const led = cedarOver(given({ 'L-cedar': { stock: '2' } }));
    expect(choicesOf(led.state).again).toMatchObject({ limits: [{ what: 'lot', line: 'cedar' }] });
    expect(() => led.do({ type: 'choose', choice: 'again', next: 'b2' })).toThrow('0.80 g left');
    expect(() => cedarOver().do({ type: 'choose', choice: 'again' })).toThrow('no name');
  });

  it('costs what is in the vessel', () => {
    const { again } = choicesOf(cedarOver().state);
    expect(again.lost?.toFixed()).toBe(decimal('0.99').times(4).plus('1.2').toFixed());
    expect([again.discarded.toFixed(), again.total.toFixed()]).toEqual(['2.19', '30']);
  });
});
