import { EventEmitter } from 'node:events';
import { mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import {
  type BrowserContext,
  chromium,
  type Frame,
  type Page,
  type Request as PageRequest,
  type Route,
} from 'playwright-core';
import { launchOptions } from '../browser.ts';
import { own, shown } from './address.ts';
import { DELIVER, INVOKE, preloadScript } from './in-page.ts';
import { tell } from './told.ts';

export type SchemeHandler = (request: Request) => Promise<Response>;
export type IpcHandler = (event: { senderFrame: object; sender: object }, ...args: unknown[]) => unknown;

export interface WebPreferences {
  readonly preload: string;
  readonly contextIsolation: boolean;
  readonly sandbox: boolean;
  readonly nodeIntegration: boolean;
}

type Decide = (granted: boolean) => void;

/** The frame that asks. A new window asks before it has one, and reading it is then an error: null. */
function frameOf(request: PageRequest): Frame | null {
  try {
    return request.frame();
  } catch {
    return null;
  }
}

/** The window's contents: a page of a real headless browser, with its own profile. */
export class StandInPage extends EventEmitter {
  readonly #preferences: WebPreferences;
  readonly #handlers: ReadonlyMap<string, IpcHandler>;
  readonly #schemes: ReadonlyMap<string, SchemeHandler>;
  readonly #profile = mkdtempSync(join(tmpdir(), 'pourwright-stand-in-'));
  #context: BrowserContext | null = null;
  #page: Page | null = null;
  #openHandler: ((details: { url: string }) => { action: string }) | null = null;
  #loading: string | null = null;

  constructor(
    preferences: WebPreferences,
    handlers: ReadonlyMap<string, IpcHandler>,
    schemes: ReadonlyMap<string, SchemeHandler>,
  ) {
    super();
    if (!preferences.sandbox || !preferences.contextIsolation || preferences.nodeIntegration)
      throw new Error('The stand-in only shows a sandboxed, isolated window without Node.');
    this.#preferences = preferences;
    this.#handlers = handlers;
    this.#schemes = schemes;
  }

  /** What handlers of permission requests decide, asked as soon as they are set. */
  readonly session = {
    setPermissionRequestHandler: (handler: (contents: unknown, asked: string, decide: Decide) => void) =>
      handler(this, 'media', (granted) => tell({ told: 'permission', asked: 'request', granted })),
    setPermissionCheckHandler: (handler: (contents: unknown, asked: string) => boolean) =>
      tell({ told: 'permission', asked: 'check', granted: handler(this, 'serial') }),
  };

  /** Address by which a test reaches the same page. */
  get devtools(): string {
    const port = readFileSync(join(this.#profile, 'DevToolsActivePort'), 'utf8').split('\n')[0];
    return `http://127.0.0.1:${port}`;
  }

  setWindowOpenHandler(handler: (details: { url: string }) => { action: string }): void {
    this.#openHandler = handler;
  }

  isDestroyed(): boolean {
    return this.#page === null || this.#page.isClosed();
  }

  async open(url: string): Promise<void> {
    const context = await chromium.launchPersistentContext(
      this.#profile,
      await launchOptions(['--remote-debugging-port=0']),
    );
    this.#context = context;
    await context.exposeBinding(INVOKE, ({ frame }, channel: string, args: unknown[]) =>
      this.#invoke(frame, channel, args),
    );
    await context.addInitScript(preloadScript(readFileSync(this.#preferences.preload, 'utf8')));
    await context.route('**', (route) => this.#answer(route));
    const page = context.pages()[0] ?? (await context.newPage());
    this.#page = page;
    context.on('page', (opened) => this.#opened(opened));
    page.once('close', () => this.emit('destroyed'));
    this.#loading = shown(url);
    await page.goto(this.#loading, { waitUntil: 'load' });
    this.#loading = null;
  }

  send(channel: string, ...args: unknown[]): void {
    this.#page
      ?.evaluate(
        ({ name, channel, args }) =>
          (Reflect.get(window, name) as (c: string, a: unknown[]) => void)(channel, args),
        { name: DELIVER, channel, args },
      )
      .catch((cause: unknown) => {
        // What is sent while the page loads anew or has gone is lost, as with the runtime.
        if (!/context was destroyed|closed|navigat|not a function/i.test(String(cause))) throw cause;
      });
  }

  async close(): Promise<void> {
    await this.#context?.close();
    rmSync(this.#profile, { recursive: true, force: true, maxRetries: 5 });
  }

  async #invoke(
    frame: Frame,
    channel: string,
    args: unknown[],
  ): Promise<{ value?: unknown; error?: string }> {
    const handler = this.#handlers.get(channel);
    if (handler === undefined) return { error: `Error: No handler registered for '${channel}'` };
    const senderFrame = { url: own(frame.url()), parent: frame.parentFrame() };
    try {
      return { value: structuredClone(await handler({ senderFrame, sender: this }, ...args)) };
    } catch (cause) {
      return { error: String(cause) };
    }
  }

  #mayNavigate(route: Route): boolean {
    const request = route.request();
    const url = request.url();
    const frame = frameOf(request);
    if (frame === null || frame.page() !== this.#page) return !this.#refusesWindow(url);
    if (!request.isNavigationRequest() || url === this.#loading || url === this.#page?.url()) return true;
    let refused = false;
    const event = {
      url: own(url),
      preventDefault: () => {
        refused = true;
      },
    };
    this.emit('will-frame-navigate', event);
    if (frame.parentFrame() === null) this.emit('will-navigate', event);
    tell({ told: 'navigation', url: own(url), refused });
    return !refused;
  }

  async #answer(route: Route): Promise<void> {
    const request = route.request();
    const url = own(request.url());
    const handler = this.#schemes.get(new URL(url).protocol.slice(0, -1));
    if (!this.#mayNavigate(route)) return route.abort('aborted');
    if (handler === undefined) return route.abort('addressunreachable');
    const response = await handler(new Request(url, { method: request.method() }));
    await route.fulfill({
      status: response.status,
      headers: Object.fromEntries(response.headers),
      body: Buffer.from(await response.arrayBuffer()),
    });
  }

  #refusesWindow(url: string): boolean {
    const refused = this.#openHandler?.({ url }).action === 'deny';
    tell({ told: 'new-window', url, refused });
    return refused;
  }

  #opened(page: Page): void {
    if (this.#refusesWindow(page.url())) void page.close();
  }
}
