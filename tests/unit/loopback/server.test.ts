import { mkdirSync, mkdtempSync, rmSync, symlinkSync, writeFileSync } from 'node:fs';
import { request } from 'node:http';
import { connect } from 'node:net';
import { networkInterfaces, tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { WebSocket } from 'ws';
import type { BenchView } from '../../../electron/host/table.ts';
import { type Loopback, MESSAGE_LIMIT, serveLoopback } from '../../../electron/loopback/server.ts';
import type { ServedHost } from '../../../electron/loopback/socket.ts';

interface Answer {
  status: number;
  headers: Record<string, string | string[] | undefined>;
  body: string;
}

const listeners = new Set<(view: BenchView) => void>();
const view = (n: number) => ({ live: { at: n }, pour: null }) as unknown as BenchView;
const host: ServedHost = {
  call: async (name, input) => {
    if (name === 'breaks') throw new Error('The shelf fell down.');
    return { ok: true, value: name === 'bench.view' ? view(0) : { name, input } };
  },
  onBench: (listener) => {
    listeners.add(listener);
    return () => listeners.delete(listener);
  },
};

let folder: string;
let loopback: Loopback;
beforeEach(async () => {
  folder = mkdtempSync(join(tmpdir(), 'pourwright-pages-'));
  mkdirSync(join(folder, 'window/assets'), { recursive: true });
  writeFileSync(join(folder, 'window/index.html'), '<!doctype html>the page');
  writeFileSync(join(folder, 'window/assets/main.js'), 'export {};');
  writeFileSync(join(folder, 'window/notes.exe'), 'not ours');
  writeFileSync(join(folder, 'secret.html'), 'secret');
  symlinkSync(join(folder, 'secret.html'), join(folder, 'window/link.html'));
  loopback = await serveLoopback({ host, pages: join(folder, 'window') });
});
afterEach(async () => {
  await loopback.close();
  listeners.clear();
  rmSync(folder, { recursive: true, force: true });
});

function ask(path: string, headers: Record<string, string> = {}, method = 'GET'): Promise<Answer> {
  return new Promise((resolve, reject) => {
    const asked = request({ host: '127.0.0.1', port: loopback.port, path, method, headers }, (response) => {
      let body = '';
      response.on('data', (data: Buffer) => {
        body += data.toString();
      });
      response.on('end', () =>
        resolve({ status: response.statusCode ?? 0, headers: response.headers, body }),
      );
    });
    asked.on('error', reject);
    asked.end();
  });
}

const pathOf = (address: string): string => address.slice(address.indexOf('/', 'http://'.length));

async function admitted(): Promise<string> {
  const { headers } = await ask(pathOf(loopback.address()));
  return String(headers['set-cookie']).split(';')[0] ?? '';
}

const origin = () => `http://127.0.0.1:${loopback.port}`;

/** Messages heard on a socket, from its first on. */
const heard = new WeakMap<WebSocket, unknown[]>();

function socket(headers: Record<string, string>, path = '/socket'): Promise<WebSocket> {
  return new Promise((resolve, reject) => {
    const opened = new WebSocket(`ws://127.0.0.1:${loopback.port}${path}`, { headers });
    const messages: unknown[] = [];
    heard.set(opened, messages);
    opened.on('message', (data) => messages.push(JSON.parse(data.toString())));
    opened.on('open', () => resolve(opened));
    opened.on('unexpected-response', (_request, response) =>
      reject(new Error(`status ${response.statusCode}`)),
    );
    opened.on('error', reject);
  });
}

async function next(from: WebSocket): Promise<unknown> {
  const messages = heard.get(from) ?? [];
  await expect.poll(() => messages.length, { interval: 5 }).toBeGreaterThan(0);
  return messages.shift();
}
const closed = (from: WebSocket): Promise<number> => new Promise((resolve) => from.once('close', resolve));

describe('the loopback server lets in', () => {
  it('one browser by a one-time address, then its reloads by a strict cookie', async () => {
    const address = loopback.address();
    expect(address).toMatch(/^http:\/\/127\.0\.0\.1:\d+\/\?t=[\w-]{43}$/);
    const first = await ask(pathOf(address));
    expect(first).toMatchObject({ status: 200, body: '<!doctype html>the page' });
    const set = String(first.headers['set-cookie']);
    expect(set).toMatch(/HttpOnly/);
    expect(set).toMatch(/SameSite=Strict/);
    const cookie = set.split(';')[0] ?? '';
    expect(set).not.toContain(address.split('t=')[1] ?? 'no token');
    expect((await ask('/', { cookie })).status).toBe(200);
    expect((await ask(pathOf(address), { cookie })).status).toBe(200);
    const again = await ask(pathOf(address));
    expect(again.status).toBe(403);
    expect(again.body).toMatch(/used or replaced/);
  });

  it('nobody by a wrong token, an older one, or none', async () => {
    const older = pathOf(loopback.address());
    const newer = pathOf(loopback.address());
    expect((await ask('/')).status).toBe(403);
    expect((await ask('/?t=')).status).toBe(403);
    expect((await ask('/?t=AAAA')).status).toBe(403);
    expect((await ask(older)).status).toBe(403);
    expect((await ask(`/assets/main.js${newer.slice(1)}`)).status).toBe(403);
    expect((await ask('/assets/main.js')).status).toBe(403);
    expect((await ask('/', { cookie: `pourwright-${loopback.port}=AAAA` })).status).toBe(403);
    expect((await ask(newer)).status).toBe(200);
  });

  it('nobody under another host name, as a page that rebinds its name would come', async () => {
    const cookie = await admitted();
    for (const name of [
      'pourwright.example',
      `pourwright.example:${loopback.port}`,
      '127.0.0.1',
      'localhost',
    ])
      expect((await ask('/', { cookie, host: name })).status, name).toBe(421);
  });

  it('nobody from another origin', async () => {
    const cookie = await admitted();
    for (const from of ['http://127.0.0.1:1', 'https://pourwright.example', 'null'])
      expect((await ask('/', { cookie, origin: from })).status, from).toBe(403);
    expect((await ask('/', { cookie, origin: origin() })).status).toBe(200);
  });
});

describe('the loopback server gives', () => {
  it('only built files, with their types', async () => {
    const cookie = await admitted();
    const script = await ask('/assets/main.js', { cookie });
    expect(script.headers['content-type']).toBe('text/javascript; charset=utf-8');
    expect(script.headers['x-content-type-options']).toBe('nosniff');
    for (const path of ['/notes.exe', '/link.html', '/assets', '/assets/', '/none.html'])
      expect((await ask(path, { cookie })).status, path).toBe(404);
  });

  it('nothing outside its folder, however the path is written', async () => {
    const cookie = await admitted();
    const climbs = [
      '/../secret.html',
      '/..%2fsecret.html',
      '/%2e%2e/secret.html',
      '/assets/../../secret.html',
      '/..\\secret.html',
      '//secret.html',
      '/%00',
    ];
    for (const path of climbs) {
      const answer = await ask(path, { cookie });
      expect([400, 404], path).toContain(answer.status);
      expect(answer.body).not.toBe('secret');
    }
    expect((await ask('http://127.0.0.1/', { cookie })).status).toBe(400);
  });

  it('an answer to GET only', async () => {
    const cookie = await admitted();
    for (const method of ['POST', 'PUT', 'DELETE', 'OPTIONS', 'HEAD'])
      expect((await ask('/', { cookie }, method)).status, method).toBe(405);
  });

  it('a policy that runs nothing inline and nothing from elsewhere', async () => {
    const { headers } = await ask('/', { cookie: await admitted() });
    const policy = String(headers['content-security-policy']);
    expect(policy).toContain("default-src 'none'");
    expect(policy).toContain("script-src 'self';");
    expect(policy).toContain(`connect-src 'self' ws://127.0.0.1:${loopback.port};`);
    expect(policy).toContain("frame-ancestors 'none'");
    expect(policy).not.toMatch(/unsafe|\*/);
  });

  it('no address but 127.0.0.1', async () => {
    const others = Object.values(networkInterfaces())
      .flatMap((list) => list ?? [])
      .filter((one) => one.family === 'IPv4' && one.address !== '127.0.0.1')
      .map((one) => one.address);
    for (const address of [...others, '127.0.0.2']) {
      const reached = await new Promise<boolean>((resolve) => {
        const tried = connect(loopback.port, address);
        tried.on('connect', () => resolve(true)).on('error', () => resolve(false));
        tried.setTimeout(2000, () => resolve(false));
      });
      expect(reached, address).toBe(false);
    }
  });
});

describe('the socket', () => {
  const ours = async () => ({ cookie: await admitted(), origin: origin() });

  it('answers calls with their id and pushes the bench, once at the start', async () => {
    const open = await socket(await ours());
    expect(await next(open)).toEqual({ bench: view(0) });
    open.send(JSON.stringify({ id: 7, name: 'organ.shelves', input: { a: 1 } }));
    expect(await next(open)).toEqual({
      id: 7,
      reply: { ok: true, value: { name: 'organ.shelves', input: { a: 1 } } },
    });
    for (const listener of listeners) listener(view(5));
    expect(await next(open)).toEqual({ bench: view(5) });
    open.close();
    await closed(open);
    await expect.poll(() => listeners.size).toBe(0);
  });

  it('answers a call that broke with its trouble', async () => {
    const open = await socket(await ours());
    await next(open);
    open.send(JSON.stringify({ id: 1, name: 'breaks', input: {} }));
    expect(await next(open)).toMatchObject({
      id: 1,
      reply: { ok: false, trouble: { what: 'The shelf fell down.' } },
    });
    open.close();
  });

  it('needs cookie, origin, host and path', async () => {
    const { cookie } = await ours();
    await expect(socket({ origin: origin() })).rejects.toThrow('status 403');
    await expect(socket({ cookie })).rejects.toThrow('status 403');
    await expect(socket({ cookie, origin: 'https://pourwright.example' })).rejects.toThrow('status 403');
    await expect(socket({ cookie, origin: origin(), host: 'pourwright.example' })).rejects.toThrow(
      'status 421',
    );
    await expect(socket({ cookie, origin: origin() }, '/other')).rejects.toThrow('status 404');
  });

  it('is closed by what is no call, and by a message that is too long', async () => {
    const headers = await ours();
    const wrong = ['{', '[]', '{"id":-1,"name":"x"}', '{"id":1,"name":"x","input":{},"more":1}'];
    for (const text of wrong) {
      const open = await socket(headers);
      open.send(text);
      expect(await closed(open), text).toBe(1008);
    }
    const open = await socket(headers);
    open.on('error', () => undefined);
    open.send('x'.repeat(MESSAGE_LIMIT + 1));
    expect(await closed(open)).toBe(1009);
    expect((await ask('/', { cookie: headers.cookie })).status).toBe(200);
  });

  it('ends with the server, and the port is free again', async () => {
    const open = await socket(await ours());
    const end = closed(open);
    await loopback.close();
    await end;
    const port = loopback.port;
    await expect(
      new Promise((resolve, reject) => connect(port, '127.0.0.1').on('connect', resolve).on('error', reject)),
    ).rejects.toThrow(/ECONNREFUSED/);
    loopback = await serveLoopback({ host, pages: join(folder, 'window') });
  });
});
