import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import Ajv2020 from 'ajv/dist/2020.js';
import { describe, expect, it } from 'vitest';
import type { PourEvent } from '../../../core/pour/events.ts';
import { pouredOf } from '../../../core/record/pours.ts';
import { buildRecord, RecordFile, recordSchema } from '../../../core/record/record.ts';
import { verifyRecord } from '../../../core/record/verify.ts';
import { captured, facts, sha256, stored, wholeBatch } from './batch.ts';

const record = buildRecord(stored(wholeBatch));

describe('the pours of a batch', () => {
  it('carry the revised value, and keep the voided one without counting it', () => {
    const { pours, lines, scale, status } = pouredOf(stored(wholeBatch));
    expect(pours.map((pour) => [pour.pour, pour.net.toFixed(), pour.voided])).toEqual([
      [1, '2.22', false],
      [2, '4.28', true],
      [3, '4.44', false],
      [4, '15.54', false],
    ]);
    expect(lines.map((line) => [line.target.toFixed(), line.poured.toFixed(), line.mark])).toEqual([
      ['2.22', '2.22', 'inside'],
      ['4.44', '4.44', 'inside'],
      ['15.54', '15.54', 'inside'],
    ]);
    expect(scale.toFixed()).toBe('1.11');
    expect(status).toBe('closed');
  });

  it('without a closing event the batch is interrupted, never complete', () => {
    const poured = pouredOf(stored(wholeBatch.slice(0, -1)));
    expect([poured.status, poured.ended]).toEqual(['interrupted', null]);
    expect(buildRecord(stored(wholeBatch.slice(0, 4))).batch.status).toBe('interrupted');
  });

  it('marks what was kept, skipped, over, under and never poured', () => {
    const events: PourEvent[] = [
      { type: 'started', ...facts },
      captured(1, 'rose', 'R10', ['50.00', '52.50'], '2.50', 'over'),
    ];
    const marks = (more: PourEvent[]) =>
      pouredOf(stored([...events, ...more])).lines.map((line) => line.mark);
    expect(marks([])).toEqual(['over', 'none', 'none']);
    const kept: PourEvent = {
      type: 'correction-chosen',
      choice: 'keep',
      scale: '1',
      targets: [],
      total: '20.5',
    };
    const skipped: PourEvent = { type: 'skipped', line: 'ethanol', reason: 'none left' };
    const under = captured(2, 'cedar', 'C50', ['52.50', '53.50'], '1.00', 'under');
    expect(marks([kept, under, skipped])).toEqual(['kept', 'under', 'skipped']);
  });

  it('refuses events that do not begin, or that speak of a pour never made', () => {
    expect(() => pouredOf([])).toThrow('begins with "started"');
    expect(() =>
      pouredOf(
        stored([
          { type: 'started', ...facts },
          { type: 'confirmed', pour: 7 },
        ]),
      ),
    ).toThrow('pour 7');
  });
});

describe('a record', () => {
  it('has the composition of the nets through the lots', () => {
    const { asMade } = record;
    expect(asMade.total).toBe('22.20');
    /* Two ends of one run of readings: 2 x s, s = 0.005 g, and 22.2 g x 0.0001 of calibration. */
    expect(asMade.totalU).toBe((2 * Math.hypot(0.005, 22.2 * 0.0001)).toPrecision(6));
    /* 2.22 x 0.096 + 4.44 x 0.5 = 2.43312 g neat in 22.20 g. */
    expect(asMade.strength).toBe('0.1096');
    expect(asMade.targetStrength).toBe('0.1096');
    expect(asMade.composition.map((one) => [one.material, one.fraction])).toEqual([
      ['rose', '0.0096'],
      ['cedar', '0.1'],
      ['ethanol', '0.8484'],
      ['water', '0.042'],
    ]);
  });

  it('lists lots with their mass, and the cost without what has no price', () => {
    expect(record.asMade.lots.map((one) => [one.lot, one.mass])).toEqual([
      ['R10', '2.22'],
      ['C50', '4.44'],
      ['E96', '15.54'],
    ]);
    expect(record.asMade.cost).toBe('6.66');
    expect(record.asMade.unpriced).toEqual(['E96']);
  });

  it('names only the materials that are in it or were meant to be', () => {
    expect(record.materials.map((one) => one.key)).toEqual(['rose', 'cedar', 'ethanol', 'water']);
  });

  it('survives its own file', () => {
    expect(RecordFile.parse(JSON.parse(JSON.stringify(record)))).toEqual(record);
    expect(verifyRecord(sha256, JSON.parse(JSON.stringify(record)))).toEqual({ ok: true, problems: [] });
  });

  it('of a batch with nothing poured has no strength, and no division by zero', () => {
    const empty = buildRecord(stored([{ type: 'started', ...facts }]));
    expect([empty.asMade.total, empty.asMade.strength]).toEqual(['0.00', '0']);
    expect(verifyRecord(sha256, empty).ok).toBe(true);
  });
});

describe('verifying a record', () => {
  const problems = (change: (file: RecordFile) => void) => {
    const file = structuredClone(record);
    change(file);
    return verifyRecord(sha256, file).problems;
  };

  it('finds an edited figure and says what the events give', () => {
    expect(problems((file) => Object.assign(file.asMade, { strength: '0.11' }))).toEqual([
      { where: 'asMade.strength', what: 'says "0.11"; the events give "0.1096"' },
    ]);
  });

  it.each([
    ['batch.operator', (file: RecordFile) => Object.assign(file.batch, { operator: 'another' })],
    ['batch.status', (file: RecordFile) => Object.assign(file.batch, { status: 'interrupted' })],
    [
      'asMade.lines[1].poured',
      (file: RecordFile) => Object.assign(file.asMade.lines[1] ?? {}, { poured: '4.40' }),
    ],
    [
      'lots[0].composition.rose',
      (file: RecordFile) => Object.assign(file.lots[0]?.composition ?? {}, { rose: '0.1' }),
    ],
    ['pours[2].net', (file: RecordFile) => Object.assign(file.pours[2] ?? {}, { net: '4.40' })],
    ['head.hash', (file: RecordFile) => Object.assign(file.head, { hash: 'f'.repeat(63) })],
    ['format', (file: RecordFile) => Object.assign(file, { format: 'other' })],
  ])('names %s first', (where, change) => {
    expect(problems(change)[0]?.where).toBe(where);
  });

  it('names the event of a rewritten chain whose net is not after less before', () => {
    const events = wholeBatch.map((event) =>
      event.type === 'captured' && event.pour === 4 ? { ...event, net: '15.00' } : event,
    );
    const forged = buildRecord(stored(events));
    expect(verifyRecord(sha256, forged).problems).toEqual([
      { where: 'events[13].event.net', what: 'says 15.00 g; after less before is 15.54 g' },
      { where: 'events[15].event.closure', what: 'says -0.01 g; the readings give 0.53 g' },
    ]);
  });

  it('names an edited event before the figures that follow from it', () => {
    const found = problems((file) => Object.assign(file.events[3]?.event ?? {}, { lot: 'C50' }));
    expect(found[0]?.where).toBe('events[3]');
    expect(found.length).toBeGreaterThan(1);
  });

  it('tells a record cut off at its end', () => {
    expect(problems((file) => file.events.pop())[0]).toMatchObject({
      what: expect.stringContaining('missing at the end'),
    });
  });

  it.each([[null], ['text'], [[]], [{}], [{ format: 'pourwright record 1' }]])(
    'refuses %j with the place',
    (file) => {
      const { ok, problems: found } = verifyRecord(sha256, file);
      expect(ok).toBe(false);
      expect(found.length).toBeGreaterThan(0);
    },
  );
});

describe('the schema of a record', () => {
  it('is the one in core/record/record.schema.json; where it is stale, run: npm run schemas', () => {
    const kept = readFileSync(join(import.meta.dirname, '../../../core/record/record.schema.json'), 'utf8');
    expect(JSON.parse(kept)).toEqual(JSON.parse(JSON.stringify(recordSchema())));
  });

  it('accepts a record and refuses an altered form, read by another program', () => {
    const validate = new Ajv2020({ strict: true }).compile(recordSchema());
    expect(validate(JSON.parse(JSON.stringify(record)))).toBe(true);
    expect(validate({ ...record, head: { count: 1, hash: 'no' } })).toBe(false);
    expect(validate({ ...record, more: 1 })).toBe(false);
  });
});
