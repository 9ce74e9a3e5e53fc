import { describe, expect, it, vi } from 'vitest';
import { ANSWER_MS, Commands } from '../../../drivers/link/commands.ts';

/** Commands on a clock that stands still, with the time of each. */
function onClock(least: number) {
  vi.useFakeTimers({ toFake: ['setTimeout', 'clearTimeout', 'performance'] });
  const start = performance.now();
  const sent: [number, string][] = [];
  const commands = new Commands(
    async (command) => {
      sent.push([performance.now() - start, command]);
    },
    () => least,
  );
  return { commands, sent, pass: (ms: number) => vi.advanceTimersByTimeAsync(ms) };
}

describe('commands to one balance', () => {
  it('go one after the other, never closer than the shape allows, keys among questions', async () => {
    const { commands, sent, pass } = onClock(200);
    void commands.ask('Q');
    await pass(10);
    void commands.send('T');
    await pass(40);
    commands.answered();
    await pass(1000);
    void commands.ask('Q');
    void commands.ask('Q');
    await pass(0);
    commands.answered();
    await pass(1000);
    expect(sent).toEqual([
      [0, 'Q'],
      [200, 'T'],
      [1050, 'Q'],
      [1250, 'Q'],
    ]);
    vi.useRealTimers();
  });

  it('wait for an answer, and go on in vain after a while', async () => {
    const { commands, sent, pass } = onClock(100);
    void commands.ask('Q');
    void commands.ask('Q');
    await pass(ANSWER_MS - 1);
    expect(sent).toHaveLength(1);
    await pass(1);
    expect(sent).toEqual([
      [0, 'Q'],
      [ANSWER_MS, 'Q'],
    ]);
    vi.useRealTimers();
  });

  it('are not sent after the end, and leave no timer', async () => {
    const { commands, sent, pass } = onClock(100);
    const asked = commands.ask('Q');
    await pass(0);
    const key = commands.send('T');
    commands.close();
    await Promise.all([asked, key]);
    await pass(5000);
    expect(sent).toEqual([[0, 'Q']]);
    expect(vi.getTimerCount()).toBe(0);
    vi.useRealTimers();
  });

  it('tell what went wrong in writing, and go on', async () => {
    let bad = true;
    const sent: string[] = [];
    const commands = new Commands(
      async (command) => {
        if (bad) throw new Error('the port is gone');
        sent.push(command);
      },
      () => 0,
    );
    await expect(commands.send('T')).rejects.toThrow('the port is gone');
    bad = false;
    await commands.send('Z');
    expect(sent).toEqual(['Z']);
  });
});
