import { describe, expect, it } from 'vitest';
import { dataOption, isOwnPage, isOwnSender } from '../../../electron/window/guard.ts';
import { menuTemplate } from '../../../electron/window/menu.ts';
import { answerPage } from '../../../electron/window/protocol.ts';

const body = (text: string) => Buffer.from(text) as Buffer<ArrayBuffer>;
const pages = {
  get: async (path: string) =>
    path === '/' ? { type: 'text/html; charset=utf-8', body: body('page') } : null,
};

describe('the desktop window', () => {
  it('knows its own page', () => {
    for (const url of ['pourwright://window/', 'pourwright://window/?a#b', 'pourwright://window/assets/x.js'])
      expect(isOwnPage(url), url).toBe(true);
    for (const url of [
      '',
      'about:blank',
      'pourwright://other/',
      'pourwright://window.example/',
      'pourwright://a@window/',
      'https://window/',
      'file:///window/',
    ])
      expect(isOwnPage(url), url).toBe(false);
  });

  it('hears only its own top frame', () => {
    expect(isOwnSender({ url: 'pourwright://window/', parent: null })).toBe(true);
    expect(isOwnSender({ url: 'pourwright://window/', parent: {} })).toBe(false);
    expect(isOwnSender({ url: 'https://pourwright.example/', parent: null })).toBe(false);
    expect(isOwnSender(null)).toBe(false);
  });

  it('takes the data folder among the runtime’s own switches', () => {
    expect(dataOption(['electron', '--no-sandbox', '.', '--data=/a b'])).toBe('/a b');
    expect(dataOption(['electron', '.', '--data='])).toBeNull();
    expect(dataOption(['electron', '.'])).toBeNull();
  });

  it('answers only GET of its own files, under a strict policy', async () => {
    const page = await answerPage(pages, new Request('pourwright://window/'));
    expect(page.status).toBe(200);
    expect(page.headers.get('content-security-policy')).toContain("script-src 'self';");
    expect(await page.text()).toBe('page');
    expect((await answerPage(pages, new Request('pourwright://window/none'))).status).toBe(404);
    expect((await answerPage(pages, new Request('pourwright://elsewhere/'))).status).toBe(403);
    expect((await answerPage(pages, new Request('pourwright://window/', { method: 'POST' }))).status).toBe(
      405,
    );
  });

  it('has a menu of the platform’s own commands only', () => {
    expect(menuTemplate('darwin').map((item) => item.role ?? item.label)).toEqual([
      'appMenu',
      'fileMenu',
      'editMenu',
      'View',
      'windowMenu',
    ]);
    const roles = JSON.stringify(menuTemplate('linux'));
    expect(roles).not.toMatch(/toggleDevTools|reload/i);
  });
});
