import { SHAPES } from '../../drivers/frames/shapes.ts';
import { LinkTrouble } from '../../drivers/link/balance.ts';
import { type FindOptions, type Found, findBalance } from '../../drivers/link/find.ts';
import type { PortInfo } from '../../drivers/link/ports.ts';
import { shapeView } from './shape-view.ts';
import type { FindingView } from './table-balance.ts';
import { troubleOf } from './trouble.ts';

const IDLE: FindingView = {
  state: 'idle',
  port: null,
  trying: null,
  ask: null,
  line: null,
  shapes: [],
  said: [],
};

const NO_PORT: FindingView['said'][number] = {
  port: '',
  kind: 'trouble',
  what: 'This machine has no serial port to listen at.',
  heard: null,
  next: 'Plug the balance in and look again. A scale without serial port may be a USB scale; without a data socket, its figures can be typed.',
};

type ListenedPort = Pick<PortInfo, 'path' | 'label'>;
type SaidOf = Omit<FindingView['said'][number], 'port'>;

/** What a finding needs of the bench and of the machine. */
export interface FindingMeans {
  ports(): Promise<readonly PortInfo[]>;
  /** Lets the bench's own serial balance go, so that its port can be listened at. */
  release(): Promise<void>;
  /** Takes what was found onto the bench. */
  take(found: { readonly path: string; readonly line: string; readonly shape: string }): Promise<void>;
  /** Takes the balance up again that was let go. */
  resume(): Promise<void>;
  find?(path: string, options: FindOptions): Promise<Found>;
}

/** Looks for a balance by listening at one port after the other. Nothing is sent to any of them. */
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

  /** Begins to listen, at one port or at all; one that is under way goes on. */
  start(path?: string): FindingView {
    if (this.#abort !== null) return this.#view;
    const abort = new AbortController();
    this.#abort = abort;
    this.#view = { ...IDLE, state: 'listening' };
    this.#run = this.#listen(path, abort.signal)
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

  async #listen(path: string | undefined, signal: AbortSignal): Promise<void> {
    await this.#means.release();
    const ports: readonly ListenedPort[] =
      path === undefined ? await this.#means.ports() : [{ path, label: path }];
    if (ports.length === 0) this.#view = { ...this.#view, said: [NO_PORT] };
    for (const port of ports) {
      if (await this.#at(port, signal)) return;
    }
    await this.#end('nothing');
  }

  /** Listens at one port. @returns whether the looking is over */
  async #at(port: ListenedPort, signal: AbortSignal): Promise<boolean> {
    this.#view = { ...this.#view, port, trying: null, ask: null };
    const found = await this.#heardAt(port, signal);
    switch (found.kind) {
      case 'stopped':
        await this.#end('stopped');
        return true;
      case 'found':
        await this.#means.take({ path: port.path, line: found.line, shape: found.shape });
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

  async #heardAt(port: ListenedPort, signal: AbortSignal): Promise<Found | (SaidOf & { kind: 'trouble' })> {
    const find = this.#means.find ?? findBalance;
    try {
      return await find(port.path, {
        signal,
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
      });
    } catch (cause) {
      /* A port that is busy, gone or without rights is told, and the next one is listened at. */
      if (!(cause instanceof LinkTrouble)) throw cause;
      return { kind: 'trouble', what: cause.message, heard: null, next: cause.next };
    }
  }

  #said({ label }: ListenedPort, said: SaidOf): void {
    this.#view = { ...this.#view, said: [...this.#view.said, { port: label, ...said }] };
  }

  #decide(
    state: 'found' | 'undecided',
    port: ListenedPort,
    line: string,
    names: readonly string[],
    ask: string | null,
  ): void {
    const shapes = SHAPES.filter((shape) => names.includes(shape.name)).map(shapeView);
    this.#view = { ...this.#view, state, port, trying: null, ask, line, shapes };
  }

  async #end(state: 'nothing' | 'stopped'): Promise<void> {
    await this.#means.resume();
    this.#view = { ...this.#view, state, port: null, trying: null, ask: null };
  }

  /** What no port is to blame for is told too, and the balance from before is taken up again. */
  async #failed(cause: unknown): Promise<void> {
    const tell = (trouble: unknown): void => {
      const { what, next } = troubleOf(trouble, 'Balance');
      this.#said(this.#view.port ?? { label: '', path: '' }, { kind: 'trouble', what, heard: null, next });
    };
    tell(cause);
    await this.#means.resume().catch(tell);
    this.#view = { ...this.#view, state: 'nothing', port: null, trying: null, ask: null };
  }
}
