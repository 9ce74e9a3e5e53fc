import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { MASS_UNITS } from '../../../core/quantity/units.ts';
import { LinkTrouble } from '../../../drivers/link/balance.ts';
import type { FindOptions, Found } from '../../../drivers/link/find.ts';
import type { PortInfo } from '../../../drivers/link/ports.ts';
import type { ScaleInfo } from '../../../drivers/link/scales.ts';
import { Balances } from '../../../electron/host/balances.ts';
import { demoWorkshop } from '../../../electron/host/demo.ts';
import { Bench } from '../../../electron/host/session.ts';
import { openStore, type Store } from '../../../electron/host/store/store.ts';
import { BenchView } from '../../../electron/host/table.ts';
import { BalanceChoice, FindingView, UNITS } from '../../../electron/host/table-balance.ts';
import { FakeBalance } from './fake-balance.ts';

type Find = (path: string, options: FindOptions) => Promise<Found>;

let folder = '';
let store: Store;
let bench: Bench;
let ports: PortInfo[] = [];
let scales: () => Promise<ScaleInfo[]> = async () => [];
let find: Find = async () => ({ kind: 'stopped' });

const port = (label: string, serialNumber?: string): PortInfo => ({
  path: `/dev/no-such-${label}`,
  label,
  detail: '',
  vendorId: '0403',
  productId: '6001',
  ...(serialNumber === undefined ? {} : { serialNumber }),
});

const opened = (): Balances =>
  new Balances(bench, store.workshop, () => 1, {
    machine: {
      ports: async () => ports,
      scales: () => scales(),
      find: (path, options) => find(path, options),
    },
  });

beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'pourwright-balances-'));
  store = openStore(folder);
  bench = new Bench({ journal: store.journal, now: () => 1_764_000_000_000, newId: () => 'batch-1' });
  ports = [];
  scales = async () => [];
});
afterEach(async () => {
  await bench.detach();
  store.close();
  rmSync(folder, { recursive: true, force: true });
});

const serial = (path: string) => ({ kind: 'serial', path, shape: 'plain', line: '9600 8N1' }) as const;
const ended = async (balances: Balances): Promise<FindingView> => {
  await expect.poll(() => balances.finding.state).not.toBe('listening');
  return FindingView.parse(balances.finding);
};

function startDemo(): void {
  const { formulas, materials, lots } = demoWorkshop();
  const formula = formulas.find((one) => one.id === 'vetiver-dilution-10');
  if (formula === undefined) throw new Error('the demo workshop has no dilution');
  bench.start({ formula, materials, lots, operator: 'tester', balance: { name: bench.balance?.what ?? '' } });
}

describe('the remembered balance', () => {
  it('is stored with vendor, product and serial number, and taken up at another path', async () => {
    ports = [port('ttyUSB0', 'A1')];
    await opened().choose(serial('/dev/no-such-ttyUSB0'));
    expect(opened().chosen()).toMatchObject({
      device: { vendorId: '0403', productId: '6001', serialNumber: 'A1' },
    });
    ports = [port('ttyUSB0', 'OTHER'), port('ttyUSB7', 'A1')];
    await opened().takeUp();
    await expect
      .poll(() => bench.view().live)
      .toMatchObject({ link: 'lost', message: expect.stringContaining('/dev/no-such-ttyUSB7') });
  });

  it('waits, and opens no stranger, while it is unplugged; it is taken up when it is back', async () => {
    ports = [port('ttyUSB0', 'A1')];
    await opened().choose(serial('/dev/no-such-ttyUSB0'));
    ports = [port('ttyUSB0', 'OTHER')];
    await expect
      .poll(() => bench.view().live.message, { timeout: 3000 })
      .toContain('The balance 0403:6001 A1 is not plugged in.');
    ports = [port('ttyACM3', 'A1')];
    await expect.poll(() => bench.view().live.message, { timeout: 3000 }).toContain('/dev/no-such-ttyACM3');
  });

  it('is read as an older version stored it', () => {
    store.workshop.set(
      'balance',
      '{"kind":"serial","path":"/dev/ttyUSB0","shape":"recognise","line":"9600 8N1"}',
    );
    expect(opened().chosen()).toEqual({
      kind: 'serial',
      path: '/dev/ttyUSB0',
      shape: 'recognise',
      line: '9600 8N1',
    });
    store.workshop.set('balance', '{"kind":"simulated"}');
    expect(opened().chosen()).toEqual({ kind: 'simulated' });
  });

  it('may carry every unit of mass that is known, and no other', () => {
    expect([...UNITS].toSorted()).toEqual(Object.keys(MASS_UNITS).toSorted());
    expect(BalanceChoice.safeParse({ ...serial('x'), unit: 'st' }).success).toBe(false);
  });
});

describe('finding a balance', () => {
  it('listens at one port after the other, passes what is in the way, takes what is found', async () => {
    ports = [port('ttyUSB0'), port('ttyUSB1'), port('ttyUSB2', 'A1')];
    const heard: string[] = [];
    find = async (path, { progress }) => {
      heard.push(path);
      progress?.({ trying: '9600 8N1', number: 1, of: 15 });
      if (path.endsWith('0')) throw new LinkTrouble('busy', 'The port is in use.', path, 'Close the other.');
      if (path.endsWith('1')) return { kind: 'silent', why: 'Nothing came.', press: 'Press Print.' };
      return { kind: 'found', line: '2400 7E1', shape: 'comma-headed' };
    };
    const balances = opened();
    expect(balances.find().state).toBe('listening');
    expect(await ended(balances)).toMatchObject({
      state: 'found',
      port: { label: 'ttyUSB2' },
      line: '2400 7E1',
      shapes: [{ name: 'comma-headed', unit: true }],
      said: [
        { port: 'ttyUSB0', kind: 'trouble', what: 'The port is in use.', next: 'Close the other.' },
        { port: 'ttyUSB1', kind: 'silent', next: 'Press Print.' },
      ],
    });
    expect(heard).toEqual(ports.map((one) => one.path));
    expect(balances.chosen()).toEqual({
      kind: 'serial',
      path: '/dev/no-such-ttyUSB2',
      shape: 'comma-headed',
      line: '2400 7E1',
      device: { vendorId: '0403', productId: '6001', serialNumber: 'A1' },
    });
    expect(bench.balance?.what).toBe('/dev/no-such-ttyUSB2 at 2400 7E1');
  });

  it('asks, and offers the shapes that fit where nothing decides', async () => {
    let go = (): void => {};
    find = async (_, { progress }) => {
      progress?.({ ask: 'Touch the pan.' });
      await new Promise<void>((resolve) => {
        go = resolve;
      });
      return { kind: 'undecided', line: '9600 8N1', shapes: ['framed-digits', 'plain'], ask: 'Touch it.' };
    };
    const balances = opened();
    balances.find('/dev/pts/9');
    await expect.poll(() => balances.finding.ask).toBe('Touch the pan.');
    go();
    expect(await ended(balances)).toMatchObject({
      state: 'undecided',
      ask: 'Touch it.',
      port: { path: '/dev/pts/9' },
      shapes: [
        { name: 'framed-digits', sample: '<STX>012.34', unit: false },
        { name: 'plain', unit: true },
      ],
    });
    expect(balances.chosen()).toBeNull();
  });

  it('says that there is no port, and what was heard where nothing could be read', async () => {
    const balances = opened();
    balances.find();
    expect((await ended(balances)).said[0]?.what).toContain('no serial port');
    find = async () => ({ kind: 'unknown', why: 'No lines.', heard: '\\x80abc', next: 'Look at its menu.' });
    balances.find('/dev/pts/9');
    expect(await ended(balances)).toMatchObject({ state: 'nothing', said: [{ heard: '\\x80abc' }] });
  });

  it('is stopped: the balance from before is let go meanwhile, and on the bench again after', async () => {
    const balances = opened();
    await balances.choose(serial('/dev/no-such-before'));
    find = (_, { signal }) =>
      new Promise((resolve) => {
        if (signal?.aborted === true) resolve({ kind: 'stopped' });
        signal?.addEventListener('abort', () => resolve({ kind: 'stopped' }));
      });
    balances.find('/dev/no-such-before');
    await expect.poll(() => bench.view().live.link).toBe('none');
    expect((await balances.stopFinding()).state).toBe('stopped');
    expect(bench.balance?.what).toBe('/dev/no-such-before at 9600 8N1');
  });

  it('tells a failure of the machine and takes the balance from before up again', async () => {
    const balances = opened();
    await balances.choose(serial('/dev/no-such-before'));
    find = async () => Promise.reject(new Error('the system is out of descriptors'));
    balances.find('/dev/pts/9');
    expect(await ended(balances)).toMatchObject({
      state: 'nothing',
      said: [{ kind: 'trouble', what: 'the system is out of descriptors' }],
    });
    expect(bench.balance?.what).toBe('/dev/no-such-before at 9600 8N1');
  });
});

describe('a USB scale', () => {
  const scale = { path: '/dev/no-such-hidraw1', label: 'scale', detail: '', vendorId: 0xabc, productId: 2 };

  it('is listed with its ids when it is asked for, and found again by them', async () => {
    scales = async () => [{ ...scale, serialNumber: 'S1' }];
    const balances = opened();
    expect(await balances.scales()).toEqual([
      { ...scale, vendorId: '0abc', productId: '0002', serialNumber: 'S1' },
    ]);
  });

  it('is refused plainly where it cannot be read', async () => {
    scales = async () =>
      Promise.reject(
        new LinkTrouble('unsupported', 'USB scales cannot be read here.', 'linux', 'Install it.'),
      );
    await expect(opened().scales()).rejects.toThrow('USB scales cannot be read here.');
  });
});

describe('figures typed by hand', () => {
  const view = (): BenchView => BenchView.parse(bench.view());

  it('are refused where the balance sends its own', async () => {
    expect(() => opened().type('1.00')).toThrow('not typed');
  });

  it('pour a whole batch in the same windows; the record says that they were typed', async () => {
    const balances = opened();
    await balances.choose({ kind: 'typed' });
    expect(view().live).toMatchObject({ link: 'live', typed: true, g: null });
    startDemo();
    expect(view().pour?.hint).toContain('type the figure');
    balances.type('50,00');
    expect(view().live).toMatchObject({ g: '50.00', moving: false });
    bench.do({ type: 'confirm-vessel', settled: bench.settling.settled });
    bench.do({ type: 'confirm-bottle', how: 'by eye', settled: bench.settling.settled });
    expect(view().pour).toMatchObject({ phase: 'pouring', solid: false, cue: null });
    expect(view().pour?.hint).toMatch(/until the display shows 52\.00 g, from 51\.\d\d to 52\.\d\d/);
    expect(view().pour?.actions.map((one) => one.do)).not.toContain('settle');
    balances.type('51.50');
    expect(view().pour).toMatchObject({
      phase: 'pouring',
      figure: '0.50',
      figureUnit: 'g to go',
      solid: true,
    });
    balances.type('52.00');
    expect(view().pour).toMatchObject({ phase: 'bottle', word: 'inside', figure: '2.00' });
    bench.do({ type: 'confirm-bottle', how: 'by eye', settled: bench.settling.settled });
    balances.type('70.00');
    expect(view().pour).toMatchObject({ phase: 'closing' });
    expect(view().pour?.actions.find((one) => one.do === 'close')?.enabled).toBe(false);
    balances.type('70.00');
    bench.do({ type: 'close', settled: bench.settling.settled });
    expect(view().pour).toMatchObject({ phase: 'closed', result: { strength: '10.00 %' } });
    const events = store.journal.events('batch-1').map((one) => one.event);
    expect(events[0]).toMatchObject({ type: 'started', balance: { link: 'typed by hand' } });
    expect(
      events.flatMap((event) =>
        event.type === 'captured' ? [event.settled.rule, event.settled.readings] : [],
      ),
    ).toEqual(['figure typed by hand', 1, 'figure typed by hand', 1]);
  });

  it('take no choice by a digit, and a slip is put right by the next figure', async () => {
    const balances = opened();
    await balances.choose({ kind: 'typed' });
    startDemo();
    balances.type('50.00');
    bench.do({ type: 'confirm-vessel', settled: bench.settling.settled });
    bench.do({ type: 'confirm-bottle', how: 'by eye', settled: bench.settling.settled });
    balances.type('55.00');
    expect(view().pour?.phase).toBe('over');
    expect(view().pour?.choices.map((card) => card.key)).toEqual(view().pour?.choices.map(() => ''));
    balances.type('52.00');
    expect(view().pour).toMatchObject({ phase: 'bottle', word: 'inside' });
    expect(store.journal.events('batch-1').map((one) => one.event.type)).toContain('revised');
  });

  it('refuse what is no figure, and keep what was typed before', async () => {
    const balances = opened();
    await balances.choose({ kind: 'typed' });
    balances.type('50.00');
    expect(() => balances.type('5o.00')).toThrow('is not a figure of a display');
    expect(view().live.g).toBe('50.00');
  });

  it('are noted where they take the place of another balance during a batch', async () => {
    await bench.attach(new FakeBalance());
    startDemo();
    await opened().choose({ kind: 'typed' });
    expect(store.journal.events('batch-1').map((one) => one.event)).toContainEqual({
      type: 'noticed',
      what: 'balance changed',
      detail: 'balance of the test before, typed by hand from here on',
    });
  });
});
