import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { buildRecord } from '../../../core/record/record.ts';
import { verifyRecord } from '../../../core/record/verify.ts';
import { commandOf } from '../../../electron/host/commanding.ts';
import { demoWorkshop } from '../../../electron/host/demo.ts';
import { sha256 } from '../../../electron/host/store/journal.ts';
import type { ActionView, ChoiceView, PourView } from '../../../electron/host/table.ts';
import { memoryJournal } from '../../bench/memory-journal.ts';
import { stored } from '../record/batch.ts';
import { TestBench } from './test-bench.ts';

/** A person who does anything that the screen offers, at a balance that reads truly. */
class Anyone extends TestBench {
  readonly workshop = demoWorkshop();
  readonly journal: ReturnType<typeof memoryJournal>;
  /** On the pan, g in hundredths. */
  #pan = 5000;

  constructor() {
    const journal = memoryJournal();
    super(() => ({ journal }));
    this.journal = journal;
  }

  get pour(): PourView {
    const { pour } = this.view();
    if (pour === null) throw new Error('no batch is on the bench');
    return pour;
  }

  /** Two seconds at rest: long enough for a first figure and for the watch over it. */
  #rest(g = (this.#pan / 100).toFixed(2)): void {
    for (let n = 0; n < 20; n += 1) this.balance.read(g);
  }

  async startWith(formula: string): Promise<void> {
    const { formulas, materials, lots } = this.workshop;
    const found = formulas.find((one) => one.id === formula);
    if (found === undefined) throw new Error(`the demo workshop has no formula "${formula}"`);
    await this.attach();
    this.bench.start({ formula: found, materials, lots, operator: 'anyone', balance: { name: 'test' } });
    this.#rest();
  }

  /** Pours, or takes out, about what is asked for; `dice` says how much too little or too much. */
  #move(dice: number): void {
    const { phase, now } = this.pour;
    const toGo = Math.round(Number(now?.toGo ?? '0') * 100);
    const share = [0.5, 1, 1, 1, 1.4][dice % 5] ?? 1;
    const by = Math.max(1, Math.round(Math.max(toGo, 20) * share));
    this.#pan += phase === 'withdrawing' ? -by : by;
    this.#rest();
  }

  /** Does one of the things offered. @returns false once the batch has ended */
  step(dice: number): boolean {
    const { pour } = this;
    const offers: (ActionView | ChoiceView)[] = [
      ...pour.actions.filter(({ enabled, do: what }) => enabled && what !== 'abandon'),
      ...pour.choices.filter((one) => one.possible),
    ];
    const offer = offers[dice % offers.length];
    if (offer === undefined) return false;
    if ('kind' in offer) this.do({ type: 'choose', choice: offer.kind });
    else if (offer.do === 'settle') this.#move(dice >> 3);
    else {
      const lots = this.workshop.lots.map((one) => one.code);
      this.do(
        commandOf(
          {
            do: offer.do,
            ...(offer.choice === undefined ? {} : { choice: offer.choice }),
            ...(offer.reason ? { reason: 'as it came' } : {}),
            ...(offer.do === 'add-line' ? { lot: lots[(dice >> 3) % lots.length] ?? '' } : {}),
          },
          this.settled,
          { state: this.bench.batch?.state ?? null, workshop: () => this.workshop },
        ),
      );
    }
    const anew = this.pour.phase === 'vessel';
    if (offer !== undefined && 'do' in offer && offer.do === 'weigh-off') this.#rest('0.00');
    else {
      if (anew && !('do' in offer)) this.#pan = 5000;
      this.#rest();
    }
    return true;
  }
}

describe('whatever is done of what the screen offers', () => {
  it.each(['hedge-bank-4', 'brown-shelf-1', 'vetiver-dilution-10'])(
    '%s: every view can be told, and what ends has a record that holds',
    async (formula) => {
      let closed = 0;
      await fc.assert(
        fc.asyncProperty(fc.array(fc.nat(9999), { minLength: 20, maxLength: 70 }), async (dice) => {
          const anyone = new Anyone();
          await anyone.startWith(formula);
          for (const one of dice) if (!anyone.step(one)) break;
          const { phase, batch, result } = anyone.pour;
          if (phase !== 'closed') return;
          closed += 1;
          const record = buildRecord(stored(anyone.events(batch)));
          expect(verifyRecord(sha256, record)).toEqual({ ok: true, problems: [] });
          expect(Number(record.asMade.total).toFixed(2)).toBe(result?.total);
        }),
        { numRuns: 20 },
      );
      expect(closed).toBeGreaterThan(3);
    },
  );
});
