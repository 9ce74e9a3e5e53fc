import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { type Host, openHost } from '../../../electron/host/host.ts';
import type { CallName, Input, Output } from '../../../electron/host/table.ts';

let folder = '';
let host: Host;

beforeEach(async () => {
  folder = mkdtempSync(join(tmpdir(), 'pourwright-sheet-'));
  host = await openHost({ data: folder, demo: true, capabilities: { saveDialog: null, menu: false } });
});
afterEach(async () => {
  await host.close();
  rmSync(folder, { recursive: true, force: true });
});

async function call<K extends CallName>(name: K, input: Input<K>): Promise<Output<K>> {
  const reply = await host.call(name, input);
  if (!reply.ok) throw new Error(`${reply.trouble.what} ${reply.trouble.next}`);
  return reply.value as Output<K>;
}

const draft = { formula: 'vetiver-dilution-10' };

describe('a pour sheet', () => {
  it('has every line of the plan with lot, target and window, as text and as a page', async () => {
    const plan = await call('formulas.plan', draft);
    const sheet = await call('pour.sheet', draft);
    for (const step of plan.steps) {
      const window = `${step.low} to ${step.high}`;
      expect(sheet.text).toContain(`lot ${step.lot}`);
      expect(sheet.text).toContain(window);
      expect(sheet.html).toContain(`<td class="n">${window}</td>`);
    }
    expect(sheet.html).toContain('<!doctype html>');
  });

  it('typed in, is a closed record of its own, marked as typed', async () => {
    const { steps } = await call('formulas.plan', draft);
    const lines = steps.map(({ line, target }) => ({ line, net: target }));
    const { batch } = await call('pour.typed-in', { draft, vessel: '50.00', lines, closing: '70.00' });
    const { rows } = await call('records.find', {});
    expect(rows).toHaveLength(1);
    expect(JSON.stringify(await call('records.open', { batch }))).toContain('typed in from a sheet');
    expect((await call('bench.view', {})).pour).toBe(null);
  });

  it('with a figure that cannot be, says which and leaves no record', async () => {
    const { steps } = await call('formulas.plan', draft);
    const [first] = steps;
    const lines = [{ line: first?.line ?? '', before: '50.00', after: '40.00' }];
    await expect(call('pour.typed-in', { draft, vessel: '50.00', lines })).rejects.toThrow('40.00');
    expect((await call('records.find', {})).rows).toEqual([]);
  });
});
