import type { BenchView, CallName, HostBridge, Input, Reply } from '../electron/host/table.ts';

declare global {
  interface Window {
    /** The desktop's bridge to its host; absent in a browser. */
    readonly pourwright?: HostBridge;
  }
}

/** How the window stands to its host. */
export type Connection = 'opening' | 'open' | 'closed';

/** First and greatest pause before trying again, in ms. */
const FIRST_PAUSE = 250;
const LONGEST_PAUSE = 4000;

let connection: Connection = 'opening';
const watchers = new Set<(connection: Connection) => void>();

function become(next: Connection): void {
  if (next === connection) return;
  connection = next;
  for (const watcher of watchers) watcher(next);
}

/** Hears how the window stands to its host, at once and at every change; the returned function stops it. */
export function onConnection(watcher: (connection: Connection) => void): () => void {
  watchers.add(watcher);
  watcher(connection);
  return () => watchers.delete(watcher);
}

/** The reply to a call that could not be carried, or whose answer was lost on the way. */
function lost(name: CallName): Reply<CallName> {
  return {
    ok: false,
    trouble: {
      what: 'The program behind this window does not answer.',
      where: name,
      next: 'Look whether it still runs in the terminal; what was captured is on disk. Start it again if it has ended.',
    },
  };
}

interface Incoming {
  readonly id?: number;
  readonly reply?: Reply<CallName>;
  readonly bench?: BenchView;
}

/** The bridge over a WebSocket to the page's own origin; connects again whenever it is lost. */
class SocketBridge implements HostBridge {
  readonly #listeners = new Set<(view: BenchView) => void>();
  readonly #waiting = new Map<number, { name: CallName; answer: (reply: Reply<CallName>) => void }>();
  #socket: WebSocket | null = null;
  #next = 0;
  #pause = FIRST_PAUSE;

  connect(): void {
    const address = new URL('/socket', window.location.href);
    address.protocol = address.protocol === 'https:' ? 'wss:' : 'ws:';
    address.search = '';
    const socket = new WebSocket(address);
    this.#socket = socket;
    socket.onopen = () => {
      this.#pause = FIRST_PAUSE;
      become('open');
    };
    socket.onmessage = (event) => this.#hear(JSON.parse(String(event.data)) as Incoming);
    socket.onclose = () => this.#drop();
  }

  #hear({ id, reply, bench }: Incoming): void {
    if (bench !== undefined) for (const listener of this.#listeners) listener(bench);
    if (id === undefined || reply === undefined) return;
    this.#waiting.get(id)?.answer(reply);
    this.#waiting.delete(id);
  }

  #drop(): void {
    this.#socket = null;
    become('closed');
    for (const { name, answer } of this.#waiting.values()) answer(lost(name));
    this.#waiting.clear();
    window.setTimeout(() => this.connect(), this.#pause);
    this.#pause = Math.min(this.#pause * 2, LONGEST_PAUSE);
  }

  call<K extends CallName>(name: K, input: Input<K>, bench?: string): Promise<Reply<K>> {
    return new Promise((resolve) => {
      // The table pairs a name with its reply; the host answers an id with that pair's output.
      const answer = (reply: Reply<CallName>) => resolve(reply as Reply<K>);
      const socket = this.#socket;
      if (socket === null || socket.readyState !== WebSocket.OPEN) return answer(lost(name));
      const id = this.#next++;
      this.#waiting.set(id, { name, answer });
      socket.send(JSON.stringify({ id, name, input: bench === undefined ? input : { ...input, bench } }));
    });
  }

  onBench(listener: (view: BenchView) => void): () => void {
    this.#listeners.add(listener);
    return () => this.#listeners.delete(listener);
  }
}

/**
 * The bridge to the host: the desktop's own where there is one, else a WebSocket to the page's origin. Resolves once the
 * host can be reached. The one-time token is taken out of the address, so that it is not kept in the history.
 */
export async function connectHost(): Promise<HostBridge> {
  if (window.pourwright !== undefined) {
    become('open');
    return window.pourwright;
  }
  if (window.location.search !== '')
    window.history.replaceState(null, '', window.location.pathname + window.location.hash);
  const bridge = new SocketBridge();
  const open = new Promise<HostBridge>((resolve) => {
    const stop = onConnection((now) => {
      if (now !== 'open') return;
      resolve(bridge);
      queueMicrotask(() => stop());
    });
  });
  bridge.connect();
  return open;
}
