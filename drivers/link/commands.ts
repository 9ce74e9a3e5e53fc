/** No answer after so long, ms: the question is put again. */
export const ANSWER_MS = 1500;

/**
 * Commands to one balance, one after the other and never closer together than its shape allows. While the answer to a
 * question is awaited nothing else is sent. Make new ones at each opening.
 */
export class Commands {
  readonly #write: (command: string) => Promise<void>;
  readonly #least: () => number;
  #last = Number.NEGATIVE_INFINITY;
  #turn: Promise<void> = Promise.resolve();
  #closed = false;
  /** Ends the present waiting; null where nothing is waited for. */
  #end: (() => void) | null = null;
  /** The same, only while an answer is awaited. */
  #answer: (() => void) | null = null;

  /**
   * @param write sends the bytes of one command
   * @param least least time between two commands, ms
   */
  constructor(write: (command: string) => Promise<void>, least: () => number) {
    this.#write = write;
    this.#least = least;
  }

  /** Sends a command when its turn has come; after `close` it sends nothing more. @throws what `write` throws */
  send(command: string): Promise<void> {
    return this.#inTurn(() => this.#spaced(command));
  }

  /** Sends a question and waits until `answered` is called, or in vain for {@link ANSWER_MS}. */
  ask(question: string): Promise<void> {
    return this.#inTurn(async () => {
      await this.#spaced(question);
      await this.#pause(ANSWER_MS, true);
    });
  }

  /** Something came that answers. */
  answered(): void {
    this.#answer?.();
  }

  /** Nothing is sent any more, and no timer is left. */
  close(): void {
    this.#closed = true;
    this.#end?.();
  }

  #inTurn(act: () => Promise<void>): Promise<void> {
    const mine = this.#turn.then(act);
    this.#turn = mine.catch(() => undefined);
    return mine;
  }

  async #spaced(command: string): Promise<void> {
    await this.#pause(this.#last + this.#least() - performance.now(), false);
    if (this.#closed) return;
    this.#last = performance.now();
    await this.#write(command);
  }

  #pause(ms: number, forAnswer: boolean): Promise<void> {
    if (ms <= 0 || this.#closed) return Promise.resolve();
    return new Promise((resolve) => {
      const end = (): void => {
        clearTimeout(timer);
        this.#end = null;
        this.#answer = null;
        resolve();
      };
      const timer = setTimeout(end, ms);
      this.#end = end;
      if (forAnswer) this.#answer = end;
    });
  }
}
