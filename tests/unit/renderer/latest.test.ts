import { beforeEach, describe, expect, it } from 'vitest';
import type { HostBridge } from '../../../electron/host/table.ts';
import { openFormula, sheet } from '../../../renderer/state/formula.ts';
import { useBridge } from '../../../renderer/state/host.ts';
import { fetchLot, openLot } from '../../../renderer/state/lot-form.ts';
import { fetchMaterial, newMaterial, openMaterial } from '../../../renderer/state/material-form.ts';
import { openRecord, record } from '../../../renderer/state/records.ts';
import { fetchTraces, traces } from '../../../renderer/state/tracing.ts';
import { fetchTrialsOf, openTrial, trial, trialsOf } from '../../../renderer/state/trials.ts';

/** Answers come in the turn that the test gives them, each with what it was asked for. */
let held: (() => void)[] = [];
const NOTHING = { ok: false, trouble: { what: 'not asked here', where: null, next: '' } };

beforeEach(() => {
  held = [];
  const call = (name: string, input: Record<string, unknown>) =>
    new Promise((resolve) => {
      const value = {
        ...input,
        ...(name === 'organ.material' ? { form: { name: input.key } } : {}),
        ...(name === 'organ.lot' ? { form: {}, lot: input.code } : {}),
        ...(name === 'records.traces' ? { traces: [], marks: [] } : {}),
      };
      held.push(() => resolve(name.endsWith('figures') ? NOTHING : { ok: true, value }));
    });
  useBridge({ call } as unknown as HostBridge);
});

/** The second question is answered before the first. */
async function secondFirst(done: Promise<unknown>[]): Promise<void> {
  expect(held).toHaveLength(2);
  held[1]?.();
  await done[1];
  held[0]?.();
  await done[0];
}

describe('a late answer about what was left', () => {
  it('does not take the place of the record that is open', async () => {
    await secondFirst([openRecord('first'), openRecord('second')]);
    expect(record.value?.batch).toBe('second');
  });

  it('does not take the place of its trial, its traces, or the trials of a formula', async () => {
    await secondFirst([openTrial('first'), openTrial('second')]);
    expect(trial.value?.batch).toBe('second');
    held = [];
    await secondFirst([fetchTraces('first'), fetchTraces('second')]);
    expect(traces.value?.batch).toBe('second');
    held = [];
    await secondFirst([fetchTrialsOf('first'), fetchTrialsOf('second')]);
    expect(trialsOf.value?.id).toBe('second');
  });

  it('does not take the place of the formula that is open', async () => {
    const both = [openFormula('first'), openFormula('second')];
    held[1]?.();
    await expect.poll(() => sheet.value?.id).toBe('second');
    held[0]?.();
    await both[0];
    expect(sheet.value?.id).toBe('second');
  });

  it('does not take the place of a lot or a material, nor of a new one that is begun', async () => {
    await secondFirst([fetchLot('first'), fetchLot('second')]);
    expect(openLot.value?.code).toBe('second');
    held = [];
    await secondFirst([fetchMaterial('first'), fetchMaterial('second')]);
    expect(openMaterial.value?.key).toBe('second');
    held = [];
    const late = fetchMaterial('third');
    newMaterial();
    held[0]?.();
    await late;
    expect(openMaterial.value?.key).toBeNull();
  });
});
