import { SHAPES } from '../../drivers/frames/shapes.ts';
import { LinkTrouble } from '../../drivers/link/balance.ts';
import { type FindOptions, type Found, findBalance } from '../../drivers/link/find.ts';
import type { PortInfo } from '../../drivers/link/ports.ts';
import { type Asked, type AskOptions, askBalance } from '../../drivers/link/probe.ts';
import { shapeView } from './shape-view.ts';
import type { FindingView } from './table-balance.ts';
import { HostTrouble, troubleOf } from './trouble.ts';

const IDLE: FindingView = {
  state: 'idle',
  port: null,
  trying: null,
  byKey: false,
  sending: null,
  ask: null,
  line: null,
  shapes: [],
  said: [],
};

const NO_PORT: FindingView['said'][number] = {
  port: '',
  path: '',
  kind: 'trouble',
  what: 'This machine has no serial port to listen at.',
  heard: null,
  next: 'Plug the balance in and look again. A scale without serial port may be a USB scale; without a data socket, its figures can be typed.',
};

type ListenedPort = Pick<PortInfo, 'path' | 'label'>;
type SaidOf = Omit<FindingView['said'][number], 'port' | 'path'>;
type Trouble = SaidOf & { readonly kind: 'trouble' };

/** What a finding needs of the bench and of the machine. */
export interface FindingMeans {
  ports(): Promise<readonly PortInfo[]>;
  /** Lets the bench's own serial balance go, so that its port can be listened at. */
  release(): Promise<void>;
  /** Takes what was found onto the bench. */
  take(found: {
    readonly path: string;
    readonly line: string;
    readonly shape: string;
    readonly ask?: string;
    readonly byKey?: true;
  }): Promise<void>;
  /** Takes the balance up again that was let go. */
  resume(): Promise<void>;
  find?(path: string, options: FindOptions): Promise<Found>;
  ask?(path: string, options: AskOptions): Promise<Asked>;
}

/** What speaks by itself is never asked. */
const SPEAKS: SaidOf = {
  kind: 'unknown',
  what: 'It sends by itself now, so nothing was sent to it.',
  heard: null,
  next: 'Listen again.',
};

/**
 * Looks for a balance by listening at one port after the other; nothing is sent to any of them. A port that stayed
 * silent may be asked, once the person has agreed.
 */
export class Finding {
  readonly #means: FindingMeans;
  #view: FindingView = IDLE;
  #abort: AbortController | null = null;
  #run: Promise<void> = Promise.resolve();

  constructor(means: FindingMeans) {
    this.#means = means;
  }

  get view(): FindingView {
    return this.#view;
  }

  /** Begins to listen, at one port or at all; one that is under way goes on. `byKey`: while its print key is pressed. */
  start(path?: string, byKey = false): FindingView {
    if (this.#abort !== null) return this.#view;
    return this.#go({ ...IDLE, state: 'listening', byKey }, (signal) => this.#listen(path, byKey, signal));
  }

  /**
   * Asks a port for its figure, the person having agreed to it. One that is under way goes on.
   * @param shape the shape that the person says the balance has
   * @throws HostTrouble when that port was not found silent before
   */
  ask(path: string, shape?: string): FindingView {
    if (this.#abort !== null) return this.#view;
    const silent = this.#view.said.find((one) => one.path === path && one.kind === 'silent');
    if (silent === undefined)
      throw new HostTrouble(
        'Only a port that stayed silent is asked.',
        path,
        'Listen at it first: press "Find my balance".',
      );
    const port = { path, label: silent.port };
    const said = this.#view.said.filter((one) => one !== silent);
    return this.#go({ ...IDLE, state: 'asking', port, said }, (signal) => this.#ask(port, shape, signal));
  }

  #go(view: FindingView, run: (signal: AbortSignal) => Promise<void>): FindingView {
    const abort = new AbortController();
    this.#abort = abort;
    this.#view = view;
    this.#run = run(abort.signal)
      .catch((cause: unknown) => this.#failed(cause))
      .finally(() => {
        this.#abort = null;
      });
    return this.#view;
  }

  /** What was found is no longer what is on the bench. */
  clear(): void {
    if (this.#abort === null) this.#view = IDLE;
  }

  /** Ends it; every port it had open is free when the promise resolves. */
  async stop(): Promise<FindingView> {
    this.#abort?.abort();
    await this.#run;
    return this.#view;
  }

  async #listen(path: string | undefined, byKey: boolean, signal: AbortSignal): Promise<void> {
    await this.#means.release();
    const ports: readonly ListenedPort[] =
      path === undefined ? await this.#means.ports() : [{ path, label: path }];
    if (ports.length === 0) this.#view = { ...this.#view, said: [NO_PORT] };
    for (const port of ports) {
      if (await this.#at(port, byKey, signal)) return;
    }
    await this.#end('nothing');
  }

  /** Listens at one port. @returns whether the looking is over */
  async #at(port: ListenedPort, byKey: boolean, signal: AbortSignal): Promise<boolean> {
    this.#view = { ...this.#view, port, trying: null, ask: null };
    const found = await this.#heardAt(port, byKey, signal);
    switch (found.kind) {
      case 'stopped':
        await this.#end('stopped');
        return true;
      case 'found':
        await this.#means.take({
          path: port.path,
          line: found.line,
          shape: found.shape,
          ...(byKey ? { byKey } : {}),
        });
        this.#decide('found', port, found.line, [found.shape], null);
        return true;
      case 'undecided':
        await this.#means.resume();
        this.#decide('undecided', port, found.line, found.shapes, found.ask);
        return true;
      case 'silent':
        this.#said(port, { kind: 'silent', what: found.why, heard: null, next: found.press });
        return false;
      case 'unknown':
        this.#said(port, { kind: 'unknown', what: found.why, heard: found.heard, next: found.next });
        return false;
      case 'trouble':
        this.#said(port, found);
        return false;
    }
  }

  async #ask(port: ListenedPort, shape: string | undefined, signal: AbortSignal): Promise<void> {
    await this.#means.release();
    const ask = this.#means.ask ?? askBalance;
    const asked = await orTrouble(() =>
      ask(port.path, {
        signal,
        ...(shape === undefined ? {} : { shape }),
        progress: ({ bytes, line, number, of }) => {
          this.#view = { ...this.#view, sending: { bytes, line }, trying: { line, number, of } };
        },
      }),
    );
    switch (asked.kind) {
      case 'found': {
        const { line, shape: name, ask: question } = asked;
        await this.#means.take({ path: port.path, line, shape: name, ask: question });
        this.#decide('found', port, line, [name], null);
        return;
      }
      case 'stopped':
        this.#said(port, {
          kind: 'silent',
          what: 'It was not asked to the end.',
          heard: null,
          next: 'Ask again.',
        });
        await this.#end('stopped');
        return;
      case 'no-answer':
        this.#said(port, { kind: 'silent', what: asked.why, heard: null, next: asked.next });
        break;
      case 'unknown':
        this.#said(port, { kind: 'unknown', what: asked.why, heard: asked.heard, next: asked.next });
        break;
      case 'speaks':
        this.#said(port, SPEAKS);
        break;
      case 'trouble':
        this.#said(port, asked);
    }
    await this.#end('nothing');
  }

  async #heardAt(port: ListenedPort, byKey: boolean, signal: AbortSignal): Promise<Found | Trouble> {
    const find = this.#means.find ?? findBalance;
    return orTrouble(() =>
      find(port.path, {
        signal,
        ...(byKey ? { byKey } : {}),
        progress: (step) => {
          this.#view =
            'ask' in step
              ? { ...this.#view, ask: step.ask }
              : {
                  ...this.#view,
                  ask: null,
                  trying: { line: step.trying, number: step.number, of: step.of },
                };
        },
      }),
    );
  }

  #said({ label, path }: ListenedPort, said: SaidOf): void {
    this.#view = { ...this.#view, said: [...this.#view.said, { port: label, path, ...said }] };
  }

  #decide(
    state: 'found' | 'undecided',
    port: ListenedPort,
    line: string,
    names: readonly string[],
    ask: string | null,
  ): void {
    const shapes = SHAPES.filter((shape) => names.includes(shape.name)).map(shapeView);
    this.#view = { ...this.#view, state, port, trying: null, sending: null, ask, line, shapes };
  }

  async #end(state: 'nothing' | 'stopped'): Promise<void> {
    await this.#means.resume();
    this.#view = { ...this.#view, state, port: null, trying: null, sending: null, ask: null };
  }

  /** What no port is to blame for is told too, and the balance from before is taken up again. */
  async #failed(cause: unknown): Promise<void> {
    const tell = (trouble: unknown): void => {
      const { what, next } = troubleOf(trouble, 'Balance');
      this.#said(this.#view.port ?? { label: '', path: '' }, { kind: 'trouble', what, heard: null, next });
    };
    tell(cause);
    await this.#means.resume().catch(tell);
    this.#view = {
      ...this.#view,
      state: 'nothing',
      port: null,
      trying: null,
      sending: null,
      ask: null,
    };
  }
}

/** A port that is busy, gone or without rights is told, and the next one is tried. */
async function orTrouble<T>(act: () => Promise<T>): Promise<T | Trouble> {
  try {
    return await act();
  } catch (cause) {
    if (!(cause instanceof LinkTrouble)) throw cause;
    return { kind: 'trouble', what: cause.message, heard: null, next: cause.next };
  }
}
