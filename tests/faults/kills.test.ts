import { spawn } from 'node:child_process';
import { mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join, resolve } from 'node:path';
import { describe, expect, it } from 'vitest';
import { fold } from '../../core/pour/evolve.ts';
import { netTotal } from '../../core/pour/state.ts';
import { verifyChain } from '../../core/record/chain.ts';
import { seeded } from '../../drivers/simulated/seeded.ts';
import { sha256 } from '../../electron/host/store/journal.ts';
import { openStore } from '../../electron/host/store/store.ts';
import { contentsOf, type World, worldFile } from './kill-bench.ts';

/**
 * How many times a process that pours is killed. Twenty with the other tests; POURWRIGHT_KILLS=200 for the long run.
 * The seed gives hands and moments; the moment a signal arrives is the system's.
 */
const KILLS = Number(process.env.POURWRIGHT_KILLS ?? '20');
const SEED = Number(process.env.POURWRIGHT_SEED ?? '20260131');
/** A kill comes within so long of the first reading, ms. */
const WITHIN_MS = 250;

const BENCH = resolve(import.meta.dirname, 'kill-bench.ts');

interface Told {
  readonly batch: string;
  readonly n: number;
  readonly hash: string;
  readonly type: string;
}

/** Pours until killed `delay` ms after its first reading, or until the batch has ended. */
function poured(folder: string, seed: number, delay: number): Promise<{ told: Told[]; killed: boolean }> {
  return new Promise((done, failed) => {
    const child = spawn(process.execPath, [BENCH, folder, String(seed)], {
      stdio: ['ignore', 'pipe', 'pipe'],
      env: { ...process.env, NODE_COMPILE_CACHE: join(tmpdir(), 'kill-bench-compiled') },
    });
    let out = '';
    let words = '';
    let due = false;
    child.stderr.on('data', (data: Buffer) => {
      words += data.toString();
    });
    child.stdout.on('data', (data: Buffer) => {
      out += data.toString();
      if (!due && out.includes('"ready"')) {
        due = true;
        setTimeout(() => child.kill('SIGKILL'), delay);
      }
    });
    child.once('close', (code, signal) => {
      if (code !== 0 && signal !== 'SIGKILL') {
        failed(new Error(`the bench ended by itself with ${code ?? signal}: ${words}`));
        return;
      }
      /* A line that was cut was not told. */
      const whole = out.slice(0, out.lastIndexOf('\n') + 1).split('\n');
      const lines = whole.filter((line) => line !== '').map((line) => JSON.parse(line) as Told | string);
      const told = lines.flatMap((line) => (typeof line === 'string' ? [] : [line]));
      done({ told, killed: signal === 'SIGKILL' && !lines.includes('ended') });
    });
  });
}

/** Everything told so far stands in the store as it was told. */
function nothingLost(folder: string, told: readonly Told[]): string {
  const store = openStore(folder);
  try {
    const [row, ...others] = store.journal.batches();
    expect(others).toEqual([]);
    if (row === undefined) {
      expect(told).toEqual([]);
      return 'nothing stored';
    }
    const events = store.journal.events(row.id);
    expect(verifyChain(sha256, events)).toEqual({ ok: true });
    for (const { batch, n, hash, type } of told) {
      const kept = events[n - 1];
      expect({ batch: kept?.batch, hash: kept?.hash, type: kept?.event.type }).toEqual({ batch, hash, type });
    }
    return fold(events.map((one) => one.event)).phase;
  } finally {
    store.close();
  }
}

/** The closed batch holds what the world holds, line by line, to the count. */
function nothingInvented(folder: string): void {
  const world = JSON.parse(readFileSync(worldFile(folder), 'utf8')) as World;
  const store = openStore(folder);
  try {
    const [row] = store.journal.batches();
    const state = fold(store.journal.events(row?.id ?? '').map((one) => one.event));
    expect(state.phase).toBe('closed');
    expect(state.closure?.toNumber()).toBe(0);
    expect(netTotal(state).times(100).toNumber()).toBe(contentsOf(world));
    for (const line of state.lines)
      expect([line.step.line, line.poured.times(100).toNumber()]).toEqual([
        line.step.line,
        world.lines[line.step.line] ?? 0,
      ]);
  } finally {
    store.close();
  }
}

describe('a pour killed at random moments', () => {
  it(
    `${KILLS} kills: nothing that was told is lost, nothing is invented`,
    async ({ onTestFinished }) => {
      const random = seeded(SEED);
      const phases = new Map<string, number>();
      let kills = 0;
      let batches = 0;
      while (kills < KILLS) {
        const folder = mkdtempSync(join(tmpdir(), 'pourwright-kills-'));
        onTestFinished(() => rmSync(folder, { recursive: true, force: true }));
        const told: Told[] = [];
        for (;;) {
          /* The last batch is poured to its end. */
          const delay = kills < KILLS ? random() * WITHIN_MS : 60_000;
          const run = await poured(folder, Math.floor(random() * 2 ** 31), delay);
          told.push(...run.told);
          const phase = nothingLost(folder, told);
          if (run.killed) {
            kills += 1;
            phases.set(phase, (phases.get(phase) ?? 0) + 1);
          }
          /* A kill may come after the batch was closed and before the bench could say so. */
          if (phase === 'closed' || !run.killed) break;
        }
        nothingInvented(folder);
        batches += 1;
      }
      const met = [...phases].map(([phase, count]) => `${phase} ${count}`).join(', ');
      process.stdout.write(`${kills} kills in ${batches} batches, seed ${SEED}; killed in: ${met}\n`);
      expect(kills).toBeGreaterThanOrEqual(KILLS);
    },
    60_000 + KILLS * 5000,
  );
});
