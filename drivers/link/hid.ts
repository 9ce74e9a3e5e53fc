import type { LinkState, Observation } from '../../core/weighing/reading.ts';
import { Reader } from '../frames/reader.ts';
import { parseScaleReport } from '../frames/scale-report.ts';
import type { Shape } from '../frames/shape.ts';
import { type Balance, LinkTrouble } from './balance.ts';
import { type HidDevice, type HidLibrary, loadHid } from './scales.ts';
import { LinkSignals } from './signals.ts';
import { type Clocks, MACHINE_CLOCKS, Wakeful, wokenWords } from './wakeful.ts';

const SILENT_AFTER_MS = 2000;
const RETRY_MS = 700;
const WATCH_MS = 250;
const SILENCE =
  'The scale is open but sends no reports. It may have switched itself off: press its key, or load it.';

/** A report is bytes, not a line, and no command is known; the reader needs its meaning and a name. */
const REPORT: Shape = {
  name: 'usb-scale-report',
  title: 'report of a USB scale',
  sample: '',
  lines: [],
  parse: (line) => parseScaleReport(Buffer.from(line, 'latin1')),
  commands: {},
  leastInterval: 0,
  flow: 'none',
};

/** A scale that reports by USB HID; taken up again by itself after a loss. */
export function hidBalance(options: {
  readonly path: string;
  readonly library?: HidLibrary;
  readonly now?: () => number;
  /** Asked before each opening where the scale is plugged in now; `path` by default. What it throws is told as lost. */
  readonly locate?: () => Promise<string>;
  /** Clocks by which sleep of this machine is noticed; the system's by default. */
  readonly clocks?: Clocks;
}): Balance {
  const { path, library = null, now = Date.now, locate = async () => path } = options;
  return new HidBalance({
    path,
    library,
    now,
    locate,
    wakeful: new Wakeful(options.clocks ?? MACHINE_CLOCKS),
  });
}

interface HidMeans {
  readonly path: string;
  readonly library: HidLibrary | null;
  readonly now: () => number;
  readonly locate: () => Promise<string>;
  readonly wakeful: Wakeful;
}

class HidBalance implements Balance {
  #path: string;
  readonly #locate: () => Promise<string>;
  readonly #given: HidLibrary | null;
  readonly #now: () => number;
  readonly #wakeful: Wakeful;
  readonly #signals = new LinkSignals();
  #device: HidDevice | null = null;
  #last = 0;
  #running = false;
  #opening: Promise<void> = Promise.resolve();
  #retry: NodeJS.Timeout | undefined;
  #watch: NodeJS.Timeout | undefined;

  constructor({ path, library, now, locate, wakeful }: HidMeans) {
    this.#path = path;
    this.#given = library;
    this.#now = now;
    this.#locate = locate;
    this.#wakeful = wakeful;
  }

  get what(): string {
    return `USB scale ${this.#path}`;
  }

  get state(): LinkState {
    return this.#signals.state;
  }

  onObservation(listener: (observation: Observation) => void): () => void {
    return this.#signals.onObservation(listener);
  }

  onState(listener: (state: LinkState) => void): () => void {
    return this.#signals.onState(listener);
  }

  start(): void {
    if (this.#running) return;
    this.#running = true;
    this.#signals.set({ kind: 'opening', what: this.what });
    this.#watch = setInterval(() => {
      if (this.#device === null || this.#slept(this.#device)) return;
      if (this.#now() - this.#last >= SILENT_AFTER_MS)
        this.#signals.set({ kind: 'silent', what: this.what, advice: SILENCE });
    }, WATCH_MS);
    this.#open();
  }

  async stop(): Promise<void> {
    this.#running = false;
    clearInterval(this.#watch);
    clearTimeout(this.#retry);
    await this.#opening;
    const device = this.#device;
    this.#device = null;
    await device?.close();
    this.#signals.set({ kind: 'none' });
  }

  async press(key: 'tare' | 'zero'): Promise<void> {
    throw new LinkTrouble(
      'unsupported',
      `A USB scale takes no command for ${key} that works on all of them.`,
      this.what,
      `Press the ${key} key on the scale.`,
    );
  }

  #open(): void {
    this.#opening = this.#attempt().catch((error: unknown) => this.#lost(reason(error, this.#path)));
  }

  async #attempt(): Promise<void> {
    const library = this.#given ?? (await loadHid());
    this.#path = await this.#locate();
    const device = await library.open(this.#path);
    this.#device = device;
    if (!this.#running) return;
    this.#last = this.#now();
    this.#wakeful.look();
    const reader = new Reader(REPORT);
    device.on('data', (report) => this.#take(device, reader, report));
    device.on('error', (error) => this.#left(device, error));
  }

  #take(device: HidDevice, reader: Reader, report: Uint8Array): void {
    if (device !== this.#device || !this.#running || this.#slept(device)) return;
    const text = Buffer.from(report).toString('latin1');
    const observation = reader.read({ kind: 'line', text, at: this.#now() });
    if (observation.kind !== 'refused') {
      this.#last = this.#now();
      this.#signals.set({ kind: 'live', what: this.what, shape: REPORT.name });
    }
    this.#signals.observe(observation);
  }

  /** After sleep the age of what waits in the buffers is not known: the scale is opened anew. */
  #slept(device: HidDevice): boolean {
    const away = this.#wakeful.look();
    if (away === null) return false;
    this.#drop(device, wokenWords(away, 'the USB scale'));
    return true;
  }

  #left(device: HidDevice, error: Error): void {
    this.#drop(
      device,
      `The USB scale was lost: ${error.message}. Check its plug; it is taken up again by itself.`,
    );
  }

  #drop(device: HidDevice, why: string): void {
    if (device !== this.#device) return;
    this.#device = null;
    this.#lost(why);
    device.close().catch(() => {
      /* A device that is gone cannot be closed; the system has done so. */
    });
  }

  #lost(why: string): void {
    if (!this.#running) return;
    this.#signals.set({ kind: 'lost', what: this.what, why, retrying: true });
    clearTimeout(this.#retry);
    this.#retry = setTimeout(() => this.#open(), RETRY_MS);
  }
}

function reason(error: unknown, path: string): string {
  if (error instanceof LinkTrouble) return `${error.message} ${error.next}`;
  const text = error instanceof Error ? error.message : String(error);
  return (
    `The USB scale ${path} cannot be opened: ${text}. If it is plugged in, the rights are missing: ` +
    'copy udev/70-balance.rules of this program to /etc/udev/rules.d and plug the scale in again.'
  );
}
