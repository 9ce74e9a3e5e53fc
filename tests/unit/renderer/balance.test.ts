import { beforeEach, describe, expect, it } from 'vitest';
import type { BalanceChoice, HostBridge } from '../../../electron/host/table.ts';
import {
  choose,
  choosing,
  chosen,
  chosenTold,
  fetchBalances,
  forgetBalance,
} from '../../../renderer/state/balance.ts';
import { useBridge } from '../../../renderer/state/host.ts';

/** A host whose answers come when the test lets them; what is answered is what it held when it was asked. */
function slowHost(kept: BalanceChoice | null) {
  const waiting: { readonly name: string; readonly answer: () => void }[] = [];
  let refuses = false;
  let holds = kept;
  const answerTo = (name: string, input: unknown): unknown => {
    if (name === 'balance.choose') {
      if (refuses)
        return { ok: false, trouble: { what: 'No such shape.', where: null, next: 'Choose another.' } };
      holds = input as BalanceChoice;
    }
    const values: Record<string, unknown> = {
      'balance.chosen': holds,
      'balance.finding': { state: 'idle' },
      'balance.shapes': [],
      'balance.ports': [],
      'balance.choose': {},
    };
    return { ok: true, value: values[name] };
  };
  const call = (name: string, input: unknown) =>
    new Promise((resolve) => {
      const told = answerTo(name, input);
      waiting.push({ name, answer: () => resolve(told) });
    });
  useBridge({ call } as unknown as HostBridge);
  const settled = () => new Promise((resolve) => setTimeout(resolve, 0));
  return {
    refuse: () => {
      refuses = true;
    },
    /** Answers the oldest question of this name, or the newest. */
    answer: async (name: string, last = false) => {
      const at = last
        ? waiting.findLastIndex((one) => one.name === name)
        : waiting.findIndex((one) => one.name === name);
      expect(at, `${name} was asked`).toBeGreaterThanOrEqual(0);
      waiting.splice(at, 1)[0]?.answer();
      await settled();
    },
    answerAll: async () => {
      while (waiting.length > 0) {
        waiting.shift()?.answer();
        await settled();
      }
    },
  };
}

const TYPED: BalanceChoice = { kind: 'typed' };
const SIMULATED: BalanceChoice = { kind: 'simulated' };

beforeEach(() => {
  forgetBalance();
  choosing.value = false;
});

describe('the balance that is shown as chosen', () => {
  it('is the one a person chose while the host was still telling the one before', async () => {
    const host = slowHost(TYPED);
    const fetched = fetchBalances();
    const chose = choose(SIMULATED);
    await host.answer('balance.choose');
    await host.answer('balance.chosen', true);
    await host.answer('balance.finding', true);
    await chose;
    expect(chosen.value).toEqual(SIMULATED);
    await host.answerAll();
    await fetched;
    expect(chosen.value).toEqual(SIMULATED);
  });

  it('does not wait for the system to list its ports', async () => {
    const host = slowHost(TYPED);
    const fetched = fetchBalances();
    expect(chosenTold.value).toBe(false);
    await host.answer('balance.chosen');
    await host.answer('balance.finding');
    expect(chosen.value).toEqual(TYPED);
    expect(chosenTold.value).toBe(true);
    await host.answerAll();
    await fetched;
  });

  it('stays the one before where the host refuses the choice', async () => {
    const host = slowHost(TYPED);
    host.refuse();
    const fetched = fetchBalances();
    const chose = choose(SIMULATED);
    await host.answer('balance.choose');
    await chose;
    await host.answerAll();
    await fetched;
    expect(chosen.value).toEqual(TYPED);
    expect(choosing.value).toBe(false);
  });

  it('is not that of the bench before where the window turned to another meanwhile', async () => {
    const host = slowHost(TYPED);
    const fetched = fetchBalances();
    forgetBalance();
    await host.answerAll();
    await fetched;
    expect(chosen.value).toBeNull();
    expect(chosenTold.value).toBe(false);
  });
});
