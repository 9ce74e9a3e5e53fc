import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import type { Draft } from '../../../electron/host/care/drafts.ts';
import { readCheck } from '../../../electron/host/care/kept.ts';
import { CareRun } from '../../../electron/host/care/run.ts';
import { runView } from '../../../electron/host/care/run-view.ts';
import { Bench } from '../../../electron/host/session.ts';
import type { CareStore, KeptCheck } from '../../../electron/host/store/care.ts';
import { openStore, type Store } from '../../../electron/host/store/store.ts';
import { FakeBalance } from './fake-balance.ts';

let folder = '';
let store: Store;
let bench: Bench;
let balance: FakeBalance;
let full = false;
let kept: KeptCheck[] = [];
let drafts: Draft[] = [];

const care: CareStore = {
  profile: () => null,
  keepProfile: () => undefined,
  addCheck: (check) => {
    if (full) throw new Error('the disk is full');
    kept.push({ ...check, n: kept.length + 1 });
    return kept.length;
  },
  checks: () => kept,
};

beforeEach(async () => {
  folder = mkdtempSync(join(tmpdir(), 'pourwright-care-run-'));
  store = openStore(folder);
  bench = new Bench({ journal: store.journal, now: () => 1_764_000_000_000, newId: () => 'batch-1' });
  balance = new FakeBalance();
  await bench.attach(balance);
  full = false;
  kept = [];
  drafts = [];
});
afterEach(async () => {
  await bench.detach();
  store.close();
  rmSync(folder, { recursive: true, force: true });
});

const begun = (): CareRun =>
  new CareRun(
    bench,
    {
      care,
      draft: (draft) => {
        if (full) throw new Error('the disk is full');
        drafts.push(draft);
      },
    },
    {
      profile: 'simulated',
      name: 'the balance',
      serial: '',
      balance: { d: '0.01', capacity: '200', e: null, balanceClass: null },
    },
    { kind: 'daily', weights: { parts: ['100'], weightClass: 'F2' } },
  );

function toTheEnd(): CareRun {
  const run = begun();
  balance.rest('0.00');
  run.say('take');
  balance.rest('100.00');
  balance.rest('0.00');
  return run;
}

describe('a check on a bench whose disk is full', () => {
  it('shows no verdict until it is stored, and stores it once there is room', () => {
    full = true;
    const run = toTheEnd();
    const view = runView(run);
    expect(view).toMatchObject({ phase: 'done', result: null });
    expect(view.trouble).toContain('the disk is full');
    expect(view.actions.map((one) => one.do)).toEqual(['keep', 'leave']);
    expect(() => run.keep()).toThrow(/disk is full/);
    full = false;
    run.keep();
    expect(runView(run)).toMatchObject({ trouble: null, result: { verdict: 'pass' } });
    expect(kept).toHaveLength(1);
    run.keep();
    expect(kept).toHaveLength(1);
  });
});

describe('a check under way', () => {
  it('has every figure on disk as it is taken, and says so where it has not', () => {
    const run = begun();
    balance.rest('0.00');
    run.say('take');
    const figures = () =>
      readCheck({ ...(drafts.at(-1) as Draft), n: 0 })?.taken.map((one) => one.g) ?? 'nothing';
    expect(figures()).toEqual(['0.00']);
    full = true;
    balance.rest('100.00');
    expect(runView(run).trouble).toContain('taken so far could not be stored: the disk is full');
    full = false;
    run.say('again');
    expect(runView(run).trouble).toBeNull();
    expect(figures()).toEqual(['0.00', '100.00']);
  });
});

describe('a check whose balance goes', () => {
  it('waits for it, takes all anew from the last zero, and keeps what did not count', () => {
    const run = begun();
    balance.rest('0.00');
    run.say('take');
    balance.link({ kind: 'lost', what: 'balance of the test', why: 'unplugged', retrying: true });
    expect(runView(run).trouble).toContain('Balance lost: unplugged');
    balance.link({ kind: 'live', what: 'balance of the test', shape: 'test' });
    balance.rest('0.00');
    run.say('take');
    balance.rest('100.00');
    balance.rest('0.00');
    expect(run.result?.verdict).toBe('pass');
    const body = readCheck(kept[0] as KeptCheck);
    expect(body?.taken.map((one) => one.void)).toEqual(['balance lost', undefined, undefined, undefined]);
  });

  it('is stopped and kept when another balance is put on the bench', async () => {
    const run = begun();
    balance.rest('0.00');
    run.say('take');
    await bench.attach(new FakeBalance());
    expect(run.stopped).toBe(true);
    expect(readCheck(kept[0] as KeptCheck)).toMatchObject({ result: null });
    expect(kept).toHaveLength(1);
  });

  it('hears no more once it has ended', () => {
    const run = toTheEnd();
    const before = run.state;
    balance.rest('55.00');
    expect(run.state).toBe(before);
  });
});
