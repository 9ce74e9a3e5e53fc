import { createServer, type IncomingMessage, type Server, type ServerResponse } from 'node:http';
import type { AddressInfo } from 'node:net';
import type { Duplex } from 'node:stream';
import { WebSocketServer } from 'ws';
import { openPages, type Pages, safeHeaders } from '../pages.ts';
import { type Admission, createAdmission, type Refusal } from './admission.ts';
import type { Paper, Papers } from './papers.ts';
import { type ServedHost, serveSocket } from './socket.ts';

/** Greatest message taken from a window, in bytes; the longest call is a few hundred. */
export const MESSAGE_LIMIT = 64 * 1024;
/** Greatest number of windows at once. */
export const WINDOW_LIMIT = 16;

export interface LoopbackOptions {
  readonly host: ServedHost;
  /** Folder of the built window. */
  readonly pages: string;
  /** PDFs that its windows may open; absent, none. */
  readonly papers?: Pick<Papers, 'get'>;
}

/** The running server. */
export interface Loopback {
  readonly port: number;
  /** A new address that lets in one browser once; an unused one given before is void from then on. */
  address(): string;
  /** Ends every connection and frees the port. The host stays open. */
  close(): Promise<void>;
}

const USED_UP =
  'This address lets in one browser, once, and has been used or replaced. Press Enter in the terminal for a new one.';

function refuse(response: ServerResponse, { status, why }: Refusal): void {
  response.writeHead(status, { ...safeHeaders(), 'Content-Type': 'text/plain; charset=utf-8' });
  response.end(`${why}\n`);
}

/** Lets a request for the page in by its cookie or by the one-time token; the header to add, or why not. */
function letIn(admission: Admission, request: IncomingMessage, url: URL): Record<string, string> | Refusal {
  if (admission.known(request)) return {};
  const token = url.pathname === '/' ? url.searchParams.get('t') : null;
  if (token === null)
    return { status: 403, why: 'Open the address that Pourwright printed in the terminal.' };
  const cookie = admission.admit(token);
  return cookie === null ? { status: 403, why: USED_UP } : { 'Set-Cookie': cookie };
}

const isRefusal = (value: Record<string, string> | Refusal): value is Refusal =>
  typeof value.status === 'number';

interface Served {
  readonly pages: Pages;
  readonly papers: Pick<Papers, 'get'> | undefined;
  /** Address of the page's WebSocket. */
  readonly socket: string;
}

/** A PDF in a tab of its own: the browser's viewer is no page of this program, so only framing is forbidden it. */
function sendPaper(response: ServerResponse, { name, bytes }: Paper): void {
  const { 'Content-Security-Policy': _, ...headers } = safeHeaders();
  response.writeHead(200, {
    ...headers,
    'Content-Security-Policy': "frame-ancestors 'none'",
    'Content-Type': 'application/pdf',
    'Content-Length': bytes.length,
    'Content-Disposition': `inline; filename*=UTF-8''${encodeURIComponent(name)}`,
  });
  response.end(bytes);
}

async function answer(
  admission: Admission,
  { pages, papers, socket }: Served,
  request: IncomingMessage,
  response: ServerResponse,
): Promise<void> {
  const misdirected = admission.misdirected(request);
  if (misdirected !== null) return refuse(response, misdirected);
  if (request.method !== 'GET') return refuse(response, { status: 405, why: 'Only GET is answered.' });
  const target = request.url ?? '/';
  if (!target.startsWith('/') || !URL.canParse(`http://127.0.0.1${target}`))
    return refuse(response, { status: 400, why: 'The path is not understood.' });
  const url = new URL(`http://127.0.0.1${target}`);
  const admitted = letIn(admission, request, url);
  if (isRefusal(admitted)) return refuse(response, admitted);
  const paper = papers?.get(url.pathname);
  if (paper !== undefined) return sendPaper(response, paper);
  const page = await pages.get(url.pathname);
  if (page === null) return refuse(response, { status: 404, why: 'There is no such file.' });
  response.writeHead(200, {
    ...safeHeaders([socket]),
    ...admitted,
    'Content-Type': page.type,
    'Content-Length': page.body.length,
  });
  response.end(page.body);
}

function listen(server: Server): Promise<number> {
  return new Promise((resolve, reject) => {
    server.once('error', reject);
    server.listen(0, '127.0.0.1', () => {
      server.off('error', reject);
      resolve((server.address() as AddressInfo).port);
    });
  });
}

function refuseUpgrade(stream: Duplex, { status, why }: Refusal): void {
  stream.end(`HTTP/1.1 ${status} Refused\r\nConnection: close\r\nContent-Type: text/plain\r\n\r\n${why}\n`);
}

function acceptSockets(server: Server, admission: Admission, host: ServedHost): WebSocketServer {
  const sockets = new WebSocketServer({
    noServer: true,
    maxPayload: MESSAGE_LIMIT,
    perMessageDeflate: false,
  });
  server.on('upgrade', (request, stream, head) => {
    stream.on('error', () => stream.destroy());
    const misdirected = admission.misdirected(request);
    if (misdirected !== null) return refuseUpgrade(stream, misdirected);
    if (request.url !== '/socket')
      return refuseUpgrade(stream, { status: 404, why: 'There is no such socket.' });
    if (request.headers.origin === undefined || !admission.known(request))
      return refuseUpgrade(stream, { status: 403, why: 'Open the address that Pourwright printed.' });
    if (sockets.clients.size >= WINDOW_LIMIT)
      return refuseUpgrade(stream, { status: 503, why: 'Too many windows are open.' });
    sockets.handleUpgrade(request, stream, head, (socket) => serveSocket(socket, host));
  });
  return sockets;
}

/**
 * Serves the built window and its host on 127.0.0.1 at a free port. A browser is let in by a one-time token in the
 * address, then by a cookie; requests under another host name or from another origin are refused.
 * @throws Error when the folder holds no built window, or no port can be had
 */
export async function serveLoopback({ host, pages: folder, papers }: LoopbackOptions): Promise<Loopback> {
  const pages = openPages(folder);
  const server = createServer({ requestTimeout: 10_000, headersTimeout: 5_000, keepAliveTimeout: 5_000 });
  const port = await listen(server);
  const admission = createAdmission(port);
  server.on('request', (request, response) => {
    const served = { pages, papers, socket: `ws://127.0.0.1:${port}` };
    answer(admission, served, request, response).catch((cause: unknown) => {
      const why = cause instanceof Error ? cause.message : String(cause);
      if (response.headersSent) response.destroy();
      else refuse(response, { status: 500, why: `The file cannot be read: ${why}` });
    });
  });
  const sockets = acceptSockets(server, admission, host);
  return {
    port,
    address: () => `http://127.0.0.1:${port}/?t=${admission.token()}`,
    close: () =>
      new Promise((resolve, reject) => {
        for (const socket of sockets.clients) socket.terminate();
        server.close((error) => (error === undefined ? resolve() : reject(error)));
        server.closeAllConnections();
      }),
  };
}
