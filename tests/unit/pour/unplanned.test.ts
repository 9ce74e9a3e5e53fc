import { describe, expect, it } from 'vitest';
import type { Lot, Material } from '../../../core/formula/types.ts';
import type { PourEvent, StoredEvent } from '../../../core/pour/events.ts';
import { lineOf, netTotal, nextLine } from '../../../core/pour/state.ts';
import { pourWindow } from '../../../core/pour/window.ts';
import { pouredOf } from '../../../core/record/pours.ts';
import { eventText } from '../../../core/record/words.ts';
import { Led, rest } from './given.ts';

const lot: Lot = { code: 'OR-1', name: 'Orris 10 %', composition: { orris: '0.1', ethanol: '0.9' } };
const materials: Material[] = [
  { key: 'orris', name: 'Orris', note: 'base', family: 'roots', kind: 'neat' },
  { key: 'ethanol', name: 'Ethanol', note: null, family: 'solvents', kind: 'solvent' },
];
const add = { type: 'add-line', lot, materials, reason: 'it wants powder' } as const;

const stored = (events: readonly PourEvent[]): StoredEvent[] =>
  events.map((event, i) => ({
    batch: 'b',
    n: i + 1,
    at: '2026-01-31T09:30:00.000Z',
    event,
    prev: '',
    hash: '',
  }));

/** Rose in, the unplanned bottle in hand. */
function inHand(): Led {
  const led = new Led().vessel('50.00');
  led.pour('52.00');
  led.do(add);
  led.do({ type: 'confirm-bottle', how: 'by eye', settled: rest('52.00') });
  return led;
}

describe('given an unplanned line', () => {
  it('it comes next, from its lot, without a target', () => {
    const led = inHand();
    expect(led.state.inHand).toMatchObject({ line: 'unplanned-1', lot: 'OR-1' });
    expect(lineOf(led.state, 'unplanned-1').step).toMatchObject({
      unplanned: true,
      kind: 'dilution',
      target: '0',
    });
  });

  it('it is captured only when the person keeps it, and then counts', () => {
    const led = inHand();
    expect(led.do({ type: 'settled', settled: rest('52.30') })).toEqual([]);
    led.do({ type: 'accept-under', settled: rest('52.30') });
    expect(led.events.at(-1)).toMatchObject({
      type: 'captured',
      net: '0.30',
      lot: 'OR-1',
      verdict: 'inside',
    });
    expect(netTotal(led.state).toString()).toBe('2.3');
    expect(nextLine(led.state)?.step.line).toBe('cedar');
  });

  it('the q.s. line makes room for it within its window', () => {
    const led = inHand();
    led.do({ type: 'accept-under', settled: rest('52.10') });
    const { aim } = pourWindow(led.state, lineOf(led.state, 'ethanol'));
    expect(aim.toString()).toBe('23.9');
  });

  it('it does not enter a correction, and is no reason for one', () => {
    const led = inHand();
    led.do({ type: 'accept-under', settled: rest('52.30') });
    led.pour('56.50');
    expect(led.state.phase).toBe('over');
    led.do({ type: 'choose', choice: 'exact' });
    const chosen = led.events.at(-1);
    if (chosen?.type !== 'correction-chosen') throw new Error('no correction was chosen');
    expect(chosen.targets.find((one) => one.line === 'unplanned-1')?.topUp ?? null).toBe(null);
    expect(nextLine(led.state)?.step.line).toBe('rose');
  });

  it('voided, it is read again without a target', () => {
    const led = inHand();
    led.do({ type: 'accept-under', settled: rest('52.30') });
    led.do({ type: 'void', reason: 'the vessel was touched' });
    expect(led.do({ type: 'settled', settled: rest('52.20') })).toEqual([]);
    led.do({ type: 'accept-under', settled: rest('52.20') });
    expect(netTotal(led.state).toString()).toBe('2.2');
  });

  it('the record has it with lot and material', () => {
    const led = inHand();
    led.do({ type: 'accept-under', settled: rest('52.30') });
    const poured = pouredOf(stored(led.events));
    expect(poured.lines.find((line) => line.step.line === 'unplanned-1')).toMatchObject({ mark: 'kept' });
    expect(poured.facts.shelf?.map((one) => one.code)).toContain('OR-1');
    expect(poured.facts.materials.map((one) => one.key)).toContain('orris');
    expect(led.events.map((event) => eventText(event)).join(' ')).toContain('Unplanned line added');
  });

  it('without a reason, or with a bottle in hand, it is refused', () => {
    const led = new Led().vessel('50.00');
    expect(() => led.do({ ...add, reason: ' ' })).toThrow('reason');
    led.do({ type: 'confirm-bottle', how: 'by eye', settled: null });
    expect(() => led.do(add)).toThrow('does not fit');
  });
});

describe('given an early end', () => {
  it('what is left is skipped with the one reason, and the batch goes to closing', () => {
    const led = new Led().vessel('50.00');
    led.pour('52.00');
    const events = led.do({ type: 'end-early', reason: 'the guest has to leave', settled: rest('52.00') });
    expect(events.map((event) => event.type)).toEqual(['skipped', 'skipped']);
    expect(led.state.phase).toBe('closing');
    led.do({ type: 'close', settled: rest('52.00') });
    const poured = pouredOf(stored(led.events));
    expect(poured.lines.map((line) => line.mark)).toEqual(['inside', 'skipped', 'skipped']);
    expect(netTotal(led.state).toString()).toBe('2');
  });

  it('with nothing in the vessel, or with something of a line in it, it is refused', () => {
    const led = new Led().vessel('50.00');
    expect(() => led.do({ type: 'end-early', reason: 'why', settled: rest('50.00') })).toThrow(
      'Nothing is in',
    );
    led.pour('52.00');
    led.do({ type: 'confirm-bottle', how: 'by eye', settled: null });
    expect(() => led.do({ type: 'end-early', reason: 'why', settled: rest('53.00') })).toThrow('already in');
  });
});

describe('the closing check', () => {
  it('given a vessel that was tared away, says that it cannot be made', () => {
    const led = new Led();
    led.do({ type: 'confirm-vessel', tared: true, settled: rest('0.00') });
    led.pour('2.00');
    led.do({ type: 'end-early', reason: 'enough', settled: rest('2.00') });
    expect(() => led.do({ type: 'weigh-off', settled: rest('2.00') })).toThrow('tared away');
  });

  it('given a closure beyond the limit, flags it in words', () => {
    const led = new Led().vessel('50.00');
    led.pour('52.00');
    led.do({ type: 'end-early', reason: 'enough', settled: rest('52.00') });
    led.do({ type: 'weigh-off', settled: rest('52.03') });
    const last = led.events.at(-1);
    expect(last).toMatchObject({ type: 'closing-weighed', closure: '0.03', passes: false, limit: '0.0200' });
    expect(last === undefined ? '' : eventText(last)).toContain('FLAGGED');
    expect(() => led.do(add)).toThrow('closing values');
  });
});
