import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { Ajv2020 } from 'ajv/dist/2020.js';
import { describe, expect, it } from 'vitest';
import { verifyRecord } from '../../../core/record/verify.ts';
import { checkRecord } from '../../../electron/host/documents/check.ts';
import { signingKey } from '../../../electron/host/documents/signature.ts';
import { sha256 } from '../../../electron/host/store/journal.ts';
import { testFolder } from '../store/given.ts';
import { plainRecord, wideRecord } from './given.ts';

const ROOT = join(import.meta.dirname, '../../..');
const json = (path: string) => JSON.parse(readFileSync(join(ROOT, path), 'utf8'));
const validate = new Ajv2020({ strict: true }).compile(json('core/record/record.schema.json'));

describe('the published schema of a record', () => {
  it('holds for plain, amended and signed records, as another program reads it', () => {
    const folder = testFolder();
    const signed = signingKey(folder.path).sign(wideRecord);
    folder.remove();
    for (const record of [plainRecord, wideRecord, signed]) {
      validate(JSON.parse(JSON.stringify(record)));
      expect(validate.errors).toBeNull();
    }
  });

  it('holds for the kept example, which verifies', () => {
    const example = json('fixtures/as-made-example.json');
    validate(example);
    expect(validate.errors).toBeNull();
    expect(checkRecord(example)).toMatchObject({ ok: true, signed: true });
    expect(example.units).toEqual({
      mass: 'g',
      fraction: '1',
      percent: '%',
      density: 'g/mL',
      volume: 'mL',
      settled: 'ms',
    });
  });

  it('refuses another unit, a number that is no text, and a signature that is none', () => {
    const record = JSON.parse(JSON.stringify(plainRecord));
    expect(validate({ ...record, units: { ...record.units, mass: 'kg' } })).toBe(false);
    expect(validate({ ...record, asMade: { ...record.asMade, total: 22.2 } })).toBe(false);
    expect(validate({ ...record, signature: { algorithm: 'Ed25519', publicKey: 'x', value: 'y' } })).toBe(
      false,
    );
  });

  it('a record of the first program, without units, still verifies', () => {
    const { units: _, ...old } = plainRecord;
    expect(validate(JSON.parse(JSON.stringify(old)))).toBe(true);
    expect(verifyRecord(sha256, old)).toEqual({ ok: true, problems: [] });
    expect(verifyRecord(sha256, { ...plainRecord, units: { ...plainRecord.units, mass: 'kg' } }).ok).toBe(
      false,
    );
  });
});

describe('a digit changed anywhere in the example', () => {
  it('is found', () => {
    const text = readFileSync(join(ROOT, 'fixtures/as-made-example.json'), 'utf8');
    const digits = [...text.matchAll(/\d/g)].map((match) => match.index);
    expect(digits.length).toBeGreaterThan(500);
    for (let i = 0; i < digits.length; i += 97) {
      const place = digits[i] ?? 0;
      const other = String((Number(text[place]) + 1) % 10);
      const changed = `${text.slice(0, place)}${other}${text.slice(place + 1)}`;
      const { ok, problems } = checkRecord(JSON.parse(changed));
      expect(ok, `at ${place}: ${text.slice(place - 40, place + 20)}`).toBe(false);
      expect(problems[0]?.where).toBeTruthy();
    }
  });
});
