import { mkdtempSync, readdirSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { ConsoleMessage } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { HostBridge } from '../../electron/host/table.ts';
import { type OpenWindow, openWindow, startStandIn, WINDOWS, whyNot } from './open.ts';

for (const kind of WINDOWS) {
  const why = whyNot(kind);
  if (why !== null) console.log(`The ${kind} window is not tested here: ${why}.`);
  describe.skipIf(why !== null)(`the ${kind} window`, () => {
    let data: string;
    let open: OpenWindow;
    const complaints: string[] = [];
    beforeAll(async () => {
      data = mkdtempSync(join(tmpdir(), 'pourwright-window-'));
      open = await openWindow(kind, { data });
      const hear = (message: ConsoleMessage) => {
        if (['error', 'warning'].includes(message.type())) complaints.push(message.text());
      };
      open.page.on('console', hear);
      open.page.on('pageerror', (error) => complaints.push(String(error)));
      await open.page.reload();
    });
    afterAll(async () => {
      expect(await open.close()).toBe(0);
      rmSync(data, { recursive: true, force: true });
    });

    it('shows the formulas of its host, with its fonts and without a complaint', async () => {
      await open.page.getByText('Brown shelf, trial 1').first().waitFor();
      const fonts = await open.page.evaluate(async () => {
        await document.fonts.ready;
        return [...document.fonts].filter((font) => font.status === 'loaded').length;
      });
      expect(fonts).toBeGreaterThan(0);
      expect(complaints).toEqual([]);
    });

    it('keeps no token in its address', () => {
      expect(new URL(open.page.url()).search).toBe('');
    });

    it('runs nothing that the page does not bring', async () => {
      const ran = await open.page.evaluate(async () => {
        const script = document.createElement('script');
        script.textContent = 'window.intruded = true;';
        document.body.append(script);
        const image = document.createElement('img');
        image.setAttribute('onerror', 'window.intruded = true;');
        image.src = '/none.png';
        document.body.append(image);
        await new Promise((resolve) => setTimeout(resolve, 300));
        script.remove();
        image.remove();
        return Reflect.get(window, 'intruded') === true;
      });
      expect(ran).toBe(false);
    });

    it('connects nowhere else', async () => {
      const reached = await open.page.evaluate(() =>
        fetch('http://127.0.0.1:9/').then(
          () => 'reached',
          (error: unknown) => String(error),
        ),
      );
      expect(reached).toMatch(/Failed to fetch/);
      expect(complaints.join('\n')).toMatch(/connect-src/);
    });
  });
}

describe('the desktop window on the stand-in', () => {
  it('exposes only the bridge, frozen, and answers by the table', async () => {
    const data = mkdtempSync(join(tmpdir(), 'pourwright-window-'));
    const open = await openWindow('stand-in', { data });
    const answers = await open.page.evaluate(async () => {
      const bridge = Reflect.get(window, 'pourwright') as HostBridge;
      const unknown = await Reflect.apply(bridge.call, bridge, ['no.such.call', {}]);
      const wrong = await Reflect.apply(bridge.call, bridge, ['formulas.plan', { formula: 7 }]);
      const capabilities = await bridge.call('app.capabilities', {});
      const stop = bridge.onBench(() => undefined);
      stop();
      return {
        keys: Object.keys(bridge),
        frozen: Object.isFrozen(bridge),
        node: typeof Reflect.get(window, 'require') + typeof Reflect.get(window, 'process'),
        unknown,
        wrong,
        capabilities,
      };
    });
    expect(answers.keys).toEqual(['call', 'onBench']);
    expect(answers.frozen).toBe(true);
    expect(answers.node).toBe('undefinedundefined');
    expect(answers.unknown).toMatchObject({ ok: false });
    expect(answers.wrong).toMatchObject({ ok: false });
    expect(answers.capabilities).toMatchObject({ ok: true, value: { saveDialog: true, menu: true, data } });
    expect(await open.close()).toBe(0);
    rmSync(data, { recursive: true, force: true });
  });

  it('refuses permissions, navigation and new windows, and has a menu', async () => {
    const data = mkdtempSync(join(tmpdir(), 'pourwright-window-'));
    const open = await openWindow('stand-in', { data });
    await open.page.evaluate(() => {
      window.open('https://pourwright.example/');
      const link = document.createElement('a');
      link.href = 'https://pourwright.example/away';
      document.body.append(link);
      link.click();
    });
    await expect
      .poll(() => open.told)
      .toContainEqual(expect.objectContaining({ told: 'new-window', refused: true }));
    await expect
      .poll(() => open.told)
      .toContainEqual({ told: 'navigation', url: 'https://pourwright.example/away', refused: true });
    expect(open.page.url()).toMatch(/^https:\/\/window\.pourwright\.test\//);
    expect(open.told).toContainEqual({ told: 'permission', asked: 'request', granted: false });
    expect(open.told).toContainEqual({ told: 'permission', asked: 'check', granted: false });
    expect(open.told.find((one) => one.told === 'menu')).toMatchObject({
      items: expect.arrayContaining(['fileMenu', 'editMenu']),
    });
    expect(await open.close()).toBe(0);
    rmSync(data, { recursive: true, force: true });
  });

  it('is brought forward by a second start on the same data, and ends when it is closed', async () => {
    const data = mkdtempSync(join(tmpdir(), 'pourwright-window-'));
    const open = await openWindow('stand-in', { data });
    const second = startStandIn({ data });
    expect(await new Promise((resolve) => second.child.once('exit', resolve))).toBe(0);
    await expect.poll(() => open.told).toContainEqual({ told: 'focus' });
    await open.page.close();
    await expect.poll(() => open.told).toContainEqual({ told: 'closed' });
    expect(await open.close()).toBe(0);
    expect(readdirSync(data).filter((name) => /-wal$/.test(name))).toEqual([]);
    rmSync(data, { recursive: true, force: true });
  });
});
