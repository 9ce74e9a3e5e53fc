import { EventEmitter } from 'node:events';
import { existsSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { MenuItemConstructorOptions } from 'electron';
import { type IpcHandler, type SchemeHandler, StandInPage, type WebPreferences } from './page.ts';
import { type Answer, tell } from './told.ts';

/**
 * Stands in for the desktop runtime in tests: the built main and preload run as they are, their window is a page of a real
 * browser. Only what the program uses is here; anything else fails loudly.
 */

const windows = new Set<BrowserWindow>();
const ipcHandlers = new Map<string, IpcHandler>();
const schemes = new Map<string, SchemeHandler>();
const privileged = new Set<string>();

class App extends EventEmitter {
  #ready = false;
  #quitting = false;
  #userData = '';
  readonly #whenReady = new Promise<void>((resolve) => {
    setTimeout(() => {
      this.#ready = true;
      resolve();
    }, 0);
  });

  get ready(): boolean {
    return this.#ready;
  }

  whenReady(): Promise<void> {
    return this.#whenReady;
  }

  setPath(name: string, path: string): void {
    if (name !== 'userData') throw new Error(`The stand-in knows no path ${name}.`);
    this.#userData = path;
  }

  getPath(name: string): string {
    if (name !== 'documents') throw new Error(`The stand-in knows no path ${name}.`);
    return tmpdir();
  }

  /** One instance for each folder of the runtime's own data; the first is told of the second. */
  requestSingleInstanceLock(): boolean {
    const lock = join(this.#userData, 'stand-in-lock');
    const holder = existsSync(lock) ? Number(readFileSync(lock, 'utf8')) : 0;
    if (holder > 0 && holder !== process.pid) {
      try {
        process.kill(holder, 'SIGUSR2');
        return false;
      } catch {
        // The holder is gone without having put its lock away: the lock is free.
      }
    }
    writeFileSync(lock, String(process.pid));
    process.on('SIGUSR2', () => this.emit('second-instance'));
    process.on('exit', () => rmSync(lock, { force: true }));
    return true;
  }

  quit(): void {
    let prevented = false;
    this.emit('before-quit', {
      preventDefault: () => {
        prevented = true;
      },
    });
    if (prevented || this.#quitting) return;
    this.#quitting = true;
    this.exit(0);
  }

  exit(code: number): void {
    this.#quitting = true;
    Promise.allSettled([...windows].map((one) => one.dispose())).then(() => process.exit(code));
  }

  windowClosed(window: BrowserWindow): void {
    windows.delete(window);
    if (windows.size === 0 && !this.#quitting) this.emit('window-all-closed');
  }
}

export const app = new App();

interface WindowOptions {
  readonly show: boolean;
  readonly webPreferences: WebPreferences;
}

export class BrowserWindow extends EventEmitter {
  readonly webContents: StandInPage;

  constructor(options: WindowOptions) {
    super();
    if (!app.ready) throw new Error('A window cannot be made before the app is ready.');
    this.webContents = new StandInPage(options.webPreferences, ipcHandlers, schemes);
    this.webContents.once('destroyed', () => {
      this.emit('closed');
      tell({ told: 'closed' });
      app.windowClosed(this);
    });
    windows.add(this);
  }

  async loadURL(url: string): Promise<void> {
    await this.webContents.open(url);
    this.emit('ready-to-show');
  }

  show(): void {
    tell({ told: 'page', devtools: this.webContents.devtools });
  }

  focus(): void {
    tell({ told: 'focus' });
  }

  isMinimized(): boolean {
    return false;
  }

  restore(): void {}

  dispose(): Promise<void> {
    return this.webContents.close();
  }
}

export const ipcMain = {
  handle: (channel: string, handler: IpcHandler): void => {
    if (ipcHandlers.has(channel)) throw new Error(`${channel} has a handler already.`);
    ipcHandlers.set(channel, handler);
  },
};

interface Scheme {
  readonly scheme: string;
  readonly privileges: { readonly standard?: boolean; readonly secure?: boolean };
}

export const protocol = {
  registerSchemesAsPrivileged: (given: readonly Scheme[]): void => {
    if (app.ready) throw new Error('Schemes are registered before the app is ready.');
    for (const { scheme, privileges } of given)
      if (privileges.standard && privileges.secure) privileged.add(scheme);
  },
  handle: (scheme: string, handler: SchemeHandler): void => {
    if (!app.ready) throw new Error('A scheme is handled after the app is ready.');
    if (!privileged.has(scheme)) throw new Error(`${scheme} was not registered as standard and secure.`);
    schemes.set(scheme, handler);
  },
};

let saveTo: string | null = null;
process.on('message', (answer: Answer) => {
  saveTo = answer.saveTo;
});

export const dialog = {
  showSaveDialog: async (...args: readonly unknown[]) => {
    const options = args.at(-1) as { readonly defaultPath: string };
    tell({ told: 'save-dialog', suggested: options.defaultPath });
    return { canceled: saveTo === null, filePath: saveTo ?? '' };
  },
  showErrorBox: (title: string, text: string): void => tell({ told: 'error-box', title, text }),
};

export const shell = {
  openPath: async (path: string): Promise<string> => {
    tell({ told: 'opened', path, bytes: readFileSync(path).length });
    return '';
  },
};

const named = (item: MenuItemConstructorOptions): string[] => [
  item.label ?? item.role ?? item.type ?? '',
  ...(Array.isArray(item.submenu) ? item.submenu.flatMap(named) : []),
];

export const Menu = {
  buildFromTemplate: (template: readonly MenuItemConstructorOptions[]) => template.flatMap(named),
  setApplicationMenu: (items: readonly string[]): void => tell({ told: 'menu', items }),
};
