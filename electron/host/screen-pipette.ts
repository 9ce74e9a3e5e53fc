import type { PourState } from '../../core/pour/state.ts';
import { lineOf } from '../../core/pour/state.ts';
import type { PanControls } from '../../drivers/simulated/instrument.ts';
import type { PanPlace } from '../../drivers/simulated/pan.ts';
import { normal } from '../../drivers/simulated/seeded.ts';

/** Time between two drops of a hand that drips, milliseconds. */
const DROP_EVERY_MS = 450;
/** A pipette that draws takes out so often, milliseconds. */
const DRAW_EVERY_MS = 50;
/** Flow of a squeezed pipette, and of a solvent poured from its bottle, g/s. */
const SQUEEZE = 0.5;
const BOTTLE = 2.5;
/** Drop of a liquid that no line names, g. */
const ANY_DROP = 0.025;
/** A hand that changes what stands on the pan leaves it empty for so long, milliseconds. */
const CHANGE_MS = 700;
/** A hand never puts a weight twice on the same spot: standard deviation of what that does, g. */
const PUT_SD = 0.003;
/** A simulated balance that was adjusted wrongly shows every load too heavy by this share. */
const WRONG_SHARE = 0.001;
const EMPTY_VESSELS = [61.48, 48.93, 55.2, 52.07];

/** The pipette and the vessel on the screen: hands for the simulated balance, with the liquid of the line in hand. */
export class ScreenPipette {
  readonly #pan: PanControls;
  readonly #state: () => PourState | null;
  readonly #anyDrop: number;
  #timers = new Set<NodeJS.Timeout>();
  #drawing: NodeJS.Timeout | null = null;
  #vessels = 0;
  #wrong = false;

  /** @param anyDrop drop of a liquid that no line names, g */
  constructor(pan: PanControls, state: () => PourState | null, anyDrop = ANY_DROP) {
    this.#pan = pan;
    this.#state = state;
    this.#anyDrop = anyDrop;
  }

  /** Lets `count` drops fall, one after the other. */
  drop(count: number): void {
    const mass = this.#dropMass();
    for (let n = 0; n < count; n += 1) {
      this.#after(n * DROP_EVERY_MS, () => {
        if (this.#taking()) this.#pan.withdraw(mass);
        else this.#pan.addDrop(mass);
      });
    }
  }

  /** Squeezed it pours; while something is to be taken out it draws. */
  squeeze(on: boolean): void {
    if (this.#drawing !== null) clearInterval(this.#drawing);
    this.#drawing = null;
    if (on && this.#taking())
      this.#drawing = setInterval(() => this.#pan.withdraw((SQUEEZE * DRAW_EVERY_MS) / 1000), DRAW_EVERY_MS);
    else this.#pan.stream(on ? this.#flow() : 0);
  }

  /** Puts an empty vessel on where a batch begins, else the one that was lifted with what is in it. */
  vessel(on: boolean): void {
    if (!on) {
      this.#pan.liftVessel();
      return;
    }
    const state = this.#state();
    if (state?.vessel != null && state.phase !== 'closed') this.#pan.putVessel();
    else {
      this.#pan.putVessel(EMPTY_VESSELS[this.#vessels % EMPTY_VESSELS.length]);
      this.#vessels += 1;
    }
  }

  /** Puts a check weight of `g` on the pan, where it stands as a hand puts it; null takes it off. */
  weight(g: number | null, place: PanPlace): void {
    const lifted = this.#pan.truth().onPan;
    if (lifted) this.#pan.liftVessel();
    if (g === null) return;
    const put = (): void => this.#pan.putWeight(g + PUT_SD * normal(Math.random), place);
    if (!lifted) put();
    else this.#after(CHANGE_MS, put);
  }

  get adjustedWrongly(): boolean {
    return this.#wrong;
  }

  /** Whether the simulated balance is adjusted wrongly from now on, so that a check fails. */
  adjustWrongly(on: boolean): void {
    this.#wrong = on;
    this.#pan.adjust(on ? WRONG_SHARE : 0);
  }

  /** After a restart: the vessel as the record left it stands on the pan again. */
  putBack(state: PourState): void {
    if (state.gross !== null) this.#pan.putVessel(state.gross.minus(state.shift).toNumber());
  }

  stop(): void {
    for (const timer of this.#timers) clearTimeout(timer);
    this.#timers.clear();
    if (this.#drawing !== null) clearInterval(this.#drawing);
    this.#drawing = null;
  }

  #after(ms: number, act: () => void): void {
    const timer = setTimeout(() => {
      this.#timers.delete(timer);
      act();
    }, ms);
    this.#timers.add(timer);
  }

  #taking(): boolean {
    return this.#state()?.phase === 'withdrawing';
  }

  #inHand(): PourState['lines'][number] | null {
    const state = this.#state();
    return state?.inHand ? lineOf(state, state.inHand.line) : null;
  }

  #dropMass(): number {
    const line = this.#inHand();
    return line === null ? this.#anyDrop : Number(line.step.drop);
  }

  #flow(): number {
    return this.#inHand()?.step.kind === 'solvent' ? BOTTLE : SQUEEZE;
  }
}
