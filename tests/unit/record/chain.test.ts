import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { StoredEvent } from '../../../core/pour/events.ts';
import { canonicalJson } from '../../../core/record/canonical.ts';
import { chainHash, FIRST_PREV, headOf, verifyChain } from '../../../core/record/chain.ts';
import { sha256, stored, wholeBatch } from './batch.ts';

const events = stored(wholeBatch);
const head = headOf(events);
const verdict = (changed: readonly StoredEvent[]) => verifyChain(sha256, changed, head);

describe('canonical JSON', () => {
  it('sorts keys at every depth and writes no space', () => {
    expect(canonicalJson({ b: 1, a: { d: [true, null, 'x'], c: '0.10' } })).toBe(
      '{"a":{"c":"0.10","d":[true,null,"x"]},"b":1}',
    );
  });

  it('sorts by UTF-16 units, as the example of RFC 8785 section 3.2.3 (from memory)', () => {
    const sample = { '\u20ac': 1, '\r': 2, '\ufb33': 3, '1': 4, '\ud83d\ude00': 5, '\u0080': 6, '\u00f6': 7 };
    expect(canonicalJson(sample)).toBe(
      '{"\\r":2,"1":4,"\u0080":6,"\u00f6":7,"\u20ac":1,"\ud83d\ude00":5,"\ufb33":3}',
    );
  });

  it('does not depend on the order in which members were set', () => {
    fc.assert(
      fc.property(fc.dictionary(fc.string(), fc.jsonValue()), (value) => {
        const turned = Object.fromEntries(Object.entries(value).reverse());
        expect(canonicalJson(turned)).toBe(canonicalJson(value));
        expect(JSON.parse(canonicalJson(value))).toEqual(JSON.parse(JSON.stringify(value)));
      }),
    );
  });

  it('leaves undefined members out and refuses what JSON cannot carry, with its place', () => {
    expect(canonicalJson({ a: undefined, b: 1 })).toBe('{"b":1}');
    expect(() => canonicalJson({ a: [1, Number.NaN] })).toThrow('$.a[1] is NaN');
    expect(() => canonicalJson({ a: () => 1 })).toThrow('$.a is a function');
  });
});

describe('the chain', () => {
  it('begins with 64 zeros, and holds as written', () => {
    expect(FIRST_PREV).toMatch(/^0{64}$/);
    expect(events[0]?.prev).toBe(FIRST_PREV);
    expect(verdict(events)).toEqual({ ok: true });
  });

  it('holds for events read back from JSON', () => {
    expect(verdict(JSON.parse(JSON.stringify(events)) as StoredEvent[])).toEqual({ ok: true });
  });

  it('names an edited event', () => {
    const changed = structuredClone(events);
    const entry = changed[3];
    if (entry?.event.type !== 'captured') throw new Error('the fourth event is a capture');
    changed[3] = { ...entry, event: { ...entry.event, net: '2.00' } };
    expect(verdict(changed)).toMatchObject({ ok: false, n: 4 });
  });

  it('names an edited event whose own hash was made to fit', () => {
    const changed = structuredClone(events);
    const entry = changed[3];
    if (entry?.event.type !== 'captured') throw new Error('the fourth event is a capture');
    const edited = { ...entry, event: { ...entry.event, net: '2.00' } };
    changed[3] = { ...edited, hash: chainHash(sha256, edited.prev, edited) };
    expect(verdict(changed)).toMatchObject({ ok: false, n: 4 });
  });

  it.each(events.map((event) => [event.n]))('names event %i when its time is edited', (n) => {
    const changed = events.map((event) =>
      event.n === n ? { ...event, at: '2026-02-01T00:00:00.000Z' } : event,
    );
    expect(verdict(changed)).toMatchObject({ ok: false, n });
  });

  it.each(events.map((event) => [event.n]))('tells when event %i is taken out', (n) => {
    const changed = events.filter((event) => event.n !== n);
    expect(verdict(changed)).toMatchObject({ ok: false, n });
  });

  it('tells when one is taken out and the rest numbered anew', () => {
    const changed = events.filter((event) => event.n !== 5).map((event, i) => ({ ...event, n: i + 1 }));
    expect(verdict(changed)).toMatchObject({ ok: false, n: 5 });
  });

  it('tells when one is put in, and when two change places', () => {
    const put = [...events.slice(0, 5), ...stored([{ type: 'resumed' }]), ...events.slice(5)];
    expect(verdict(put)).toMatchObject({ ok: false, n: 6 });
    const [a, b, c, ...rest] = events;
    if (a === undefined || b === undefined || c === undefined) throw new Error('three events at least');
    expect(verdict([a, c, b, ...rest])).toMatchObject({ ok: false, n: 2 });
  });

  it('tells when the end is cut off, added to, or replaced, against the head', () => {
    expect(verdict(events.slice(0, -2))).toMatchObject({ ok: false, n: events.length - 1 });
    expect(verifyChain(sha256, events.slice(0, -2))).toEqual({ ok: true });
    const longer = stored([...wholeBatch, { type: 'resumed' }]);
    expect(verdict(longer)).toMatchObject({ ok: false, n: events.length + 1 });
    const other = stored([...wholeBatch.slice(0, -1), { type: 'abandoned', reason: 'other' }]);
    expect(verdict(other)).toMatchObject({ ok: false, n: events.length });
  });

  it('tells an event of another batch', () => {
    const other = stored(wholeBatch, 'b2');
    expect(verdict([...events.slice(0, 3), ...other.slice(3)])).toMatchObject({ ok: false, n: 4 });
  });
});
