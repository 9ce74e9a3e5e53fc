import { mkdirSync, mkdtempSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { app, BrowserWindow, dialog, ipcMain, Menu, protocol, shell } from 'electron';
import type { Document } from '../host/documents/document.ts';
import { writeWhole } from '../host/documents/export.ts';
import { type Host, openHost } from '../host/host.ts';
import { dataFolder } from '../host/place.ts';
import type { ShownPdf } from '../host/rooms.ts';
import { HostTrouble, troubleOf } from '../host/trouble.ts';
import { openPages } from '../pages.ts';
import { BENCH, CALL, DEMO, OPEN_LINE, PAGE, SCHEME, UNUSABLE_DATA } from './channels.ts';
import { dataOption, isOwnSender } from './guard.ts';
import { menuTemplate } from './menu.ts';
import { answerPage } from './protocol.ts';

let window: BrowserWindow | null = null;

async function askWhere(suggested: string): Promise<string | null> {
  const options = { defaultPath: join(app.getPath('documents'), suggested) };
  const answer = await (window === null
    ? dialog.showSaveDialog(options)
    : dialog.showSaveDialog(window, options));
  return answer.canceled || answer.filePath === '' ? null : answer.filePath;
}

/** Hands a PDF to the viewer that the desktop has for it. */
async function showPdf({ name, bytes }: Document): Promise<ShownPdf> {
  const folder = mkdtempSync(join(tmpdir(), 'pourwright-print-'));
  const path = join(folder, name);
  writeWhole(path, bytes);
  const why = await shell.openPath(path);
  if (why !== '')
    throw new HostTrouble(`No program here opens a PDF: ${why}`, path, 'Open the file with one that prints.');
  return {
    address: null,
    told: `${name} is open in the viewer of this desktop: print it from there, at 100 %.`,
  };
}

function createWindow(): BrowserWindow {
  const created = new BrowserWindow({
    width: 1280,
    height: 860,
    minWidth: 720,
    minHeight: 560,
    show: false,
    title: 'Pourwright',
    webPreferences: {
      preload: join(import.meta.dirname, 'preload.cjs'),
      contextIsolation: true,
      sandbox: true,
      nodeIntegration: false,
      webviewTag: false,
      spellcheck: false,
    },
  });
  const { webContents } = created;
  webContents.setWindowOpenHandler(() => ({ action: 'deny' }));
  webContents.on('will-navigate', (event) => event.preventDefault());
  webContents.on('will-frame-navigate', (event) => event.preventDefault());
  webContents.on('will-redirect', (event) => event.preventDefault());
  webContents.on('will-attach-webview', (event) => event.preventDefault());
  webContents.session.setPermissionRequestHandler((_contents, _permission, decide) => decide(false));
  webContents.session.setPermissionCheckHandler(() => false);
  created.once('ready-to-show', () => {
    created.show();
    process.stdout.write(`${OPEN_LINE}\n`);
  });
  created.on('closed', () => {
    window = null;
  });
  return created;
}

function serve(host: Host): void {
  ipcMain.handle(CALL, (event, name: unknown, input: unknown) => {
    if (!isOwnSender(event.senderFrame)) throw new Error('Only the window itself may call its host.');
    return host.call(String(name), input);
  });
  host.onBench((view) => {
    if (window !== null && !window.webContents.isDestroyed()) window.webContents.send(BENCH, view);
  });
}

/** The program ends only once the host has put everything away. */
function closeAtQuit(host: Host): void {
  let closed = false;
  app.on('before-quit', (event) => {
    if (closed) return;
    event.preventDefault();
    host
      .close()
      .catch((cause: unknown) => dialog.showErrorBox('Pourwright', troubleOf(cause, 'closing').what))
      .finally(() => {
        closed = true;
        app.quit();
      });
  });
  for (const signal of ['SIGINT', 'SIGTERM'] as const) process.on(signal, () => app.quit());
}

async function open(data: string): Promise<void> {
  const host = await openHost({
    data,
    demo: process.argv.includes(DEMO),
    capabilities: { saveDialog: askWhere, menu: true, showPdf },
  });
  closeAtQuit(host);
  const pages = openPages(join(import.meta.dirname, '../window'));
  protocol.handle(SCHEME, (request) => answerPage(pages, request));
  Menu.setApplicationMenu(Menu.buildFromTemplate(menuTemplate(process.platform)));
  serve(host);
  window = createWindow();
  await window.loadURL(PAGE);
}

function fail(cause: unknown): void {
  const { what, where, next } = troubleOf(cause, 'start');
  const text = [what, where, next].filter((part) => part !== null).join('\n');
  process.stderr.write(`${text}\n`);
  dialog.showErrorBox('Pourwright cannot start', text);
  app.exit(UNUSABLE_DATA);
}

function start(): void {
  const data = dataOption(process.argv) ?? dataFolder(process.env, process.platform);
  // The runtime's own files and the lock against a second window go with the data they belong to.
  const own = join(data, 'desktop');
  try {
    mkdirSync(own, { recursive: true });
    app.setPath('userData', own);
  } catch (cause) {
    const why = cause instanceof Error ? cause.message : String(cause);
    const next = 'Give yourself the right to write there, or start with --data and another folder.';
    fail(new HostTrouble(`The data folder cannot be written: ${why}.`, data, next));
    return;
  }
  if (!app.requestSingleInstanceLock()) {
    process.stdout.write(
      'Pourwright is already open with this data folder; its window is brought forward.\n',
    );
    app.quit();
    return;
  }
  protocol.registerSchemesAsPrivileged([
    { scheme: SCHEME, privileges: { standard: true, secure: true, supportFetchAPI: true } },
  ]);
  app.on('second-instance', () => {
    if (window?.isMinimized()) window.restore();
    window?.focus();
  });
  app.on('window-all-closed', () => app.quit());
  app
    .whenReady()
    .then(() => open(data))
    .catch(fail);
}

start();
