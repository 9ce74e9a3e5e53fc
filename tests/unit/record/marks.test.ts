import { describe, expect, it } from 'vitest';
import type { PourEvent, StoredEvent } from '../../../core/pour/events.ts';
import { type MarkKind, marksOf, type TraceReading } from '../../../core/record/marks.ts';
import type { Settled } from '../../../core/weighing/settling.ts';
import { facts } from './batch.ts';

const START = Date.parse('2026-11-25T09:00:00.000Z');

/** Readings every 100 ms with the events that fall between them. Drops of the demo facts weigh 0.02 g. */
class Told {
  at = START;
  readonly readings: TraceReading[] = [];
  readonly events: StoredEvent[] = [];

  constructor(drop = '0.02') {
    const steps = facts.plan.steps.map((step) => ({ ...step, drop }));
    this.say({ type: 'started', ...facts, plan: { ...facts.plan, steps } });
  }

  say(event: PourEvent): this {
    const at = new Date(this.at).toISOString();
    this.events.push({ batch: 'b', n: this.events.length + 1, at, event, prev: '', hash: '' });
    return this;
  }

  begin(before: string): this {
    return this.say({ type: 'pour-begun', line: 'rose', lot: 'R10', confirmed: 'by eye', before });
  }

  show(g: string, count = 6): this {
    for (let n = 0; n < count; n += 1) {
      this.readings.push({ at: this.at, g });
      this.at += 100;
    }
    return this;
  }

  get settled(): Settled {
    const g = this.readings.at(-1)?.g ?? '0';
    return { g, at: this.at - 100, since: this.at - 600, readings: 5, rule: '5 equal readings' };
  }

  marks(...kinds: MarkKind[]): { kind: MarkKind; after: number; text: string; g: string | null }[] {
    return marksOf(this.readings, 0.01, this.events)
      .filter(({ kind }) => kinds.length === 0 || kinds.includes(kind))
      .map(({ kind, at, text, g }) => ({ kind, after: at - START, text, g }));
  }
}

describe('drops on a trace', () => {
  it('each stands where the reading first paused on it, with what it brought', () => {
    const told = new Told().begin('50.00').show('50.00').show('50.02').show('50.03', 1).show('50.04');
    expect(told.marks('drop', 'stream')).toEqual([
      { kind: 'drop', after: 600, text: '1 drop, +0.02 g', g: '50.02' },
      { kind: 'drop', after: 1300, text: '1 drop, +0.02 g', g: '50.04' },
    ]);
  });

  it('two at once are two, and a rise without a pause is a stream', () => {
    const told = new Told().begin('50.00').show('50.04').show('50.60', 1).show('51.20');
    expect(told.marks('drop', 'stream').map(({ kind, text }) => [kind, text])).toEqual([
      ['drop', '2 drops, +0.04 g'],
      ['stream', '+1.16 g without a pause'],
    ]);
  });

  it('a draught that falls back leaves no mark, and the drop after it does', () => {
    const told = new Told().begin('50.00').show('50.00').show('50.02').show('50.00').show('50.02');
    expect(told.marks('drop').map(({ after }) => after)).toEqual([1800]);
  });

  it('none is told of drops below two steps of the display', () => {
    const told = new Told('0.015').begin('50.00').show('50.00').show('50.02').show('50.03');
    expect(told.marks('drop', 'stream')).toEqual([]);
  });

  it('a lifted vessel is neither a stream out nor one in, and drops go on from where it stands again', () => {
    const told = new Told().begin('50.00').show('50.02').show('0.00', 4);
    told.say({ type: 'vessel-lifted', last: '50.02' }).show('0.00').show('50.03');
    told.say({ type: 'vessel-returned', gross: '50.03', off: '0.01', settled: told.settled });
    told.show('50.03').show('50.05');
    expect(told.marks('drop', 'stream', 'lift', 'return')).toEqual([
      { kind: 'drop', after: 0, text: '1 drop, +0.02 g', g: '50.02' },
      { kind: 'lift', after: 1000, text: 'Vessel lifted', g: '50.02' },
      { kind: 'return', after: 2100, text: 'Vessel back, 0.01 g off', g: '50.03' },
      { kind: 'drop', after: 2800, text: '1 drop, +0.02 g', g: '50.05' },
    ]);
  });

  it('a display set to zero is no drop less', () => {
    const told = new Told().begin('50.00').show('50.02');
    told.say({ type: 're-zeroed', from: '50.02', to: '0.00' }).show('0.00').show('0.02');
    expect(told.marks('drop', 'zero').map(({ kind, after }) => [kind, after])).toEqual([
      ['drop', 0],
      ['zero', 600],
      ['drop', 1200],
    ]);
  });
});

describe('events on a trace', () => {
  it('capture and revision stand where they settled, the others when they were told, all in the order of time', () => {
    const told = new Told().begin('50.00').show('52.00');
    const { settled } = told;
    const pour = { pour: 1, line: 'rose', lot: 'R10', before: '50.00' };
    told.say({ type: 'captured', ...pour, after: '52.00', net: '2.00', verdict: 'inside', settled });
    told.say({ type: 'noticed', what: 'knock', detail: 'the reading went to 80 g and came back' });
    told.say({ type: 'balance-lost', why: 'the port closed' }).say({ type: 'balance-back' }).show('52.01');
    const revised = {
      pour: 1,
      after: '52.01',
      net: '2.01',
      verdict: 'inside',
      settled: told.settled,
    } as const;
    told.say({ type: 'revised', ...revised });
    told.say({ type: 'noticed', what: 'drop learnt', detail: 'no mark' });
    expect(told.marks('begun', 'capture', 'knock', 'lost', 'back', 'revision')).toEqual([
      { kind: 'begun', after: 0, text: 'Lot R10 in hand', g: '50.00' },
      { kind: 'capture', after: 500, text: '2.00 g captured, inside', g: '52.00' },
      { kind: 'knock', after: 600, text: 'the reading went to 80 g and came back', g: null },
      { kind: 'lost', after: 600, text: 'Balance lost: the port closed', g: null },
      { kind: 'back', after: 600, text: 'Balance back', g: null },
      { kind: 'revision', after: 1100, text: 'Revised to 2.01 g, inside', g: '52.01' },
    ]);
  });

  it('of a batch without readings are told all the same', () => {
    expect(new Told().begin('50.00').marks()).toHaveLength(1);
  });
});
