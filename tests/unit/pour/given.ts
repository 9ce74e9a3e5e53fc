import type { Step } from '../../../core/formula/types.ts';
import type { PourCommand } from '../../../core/pour/commands.ts';
import { decide } from '../../../core/pour/decide.ts';
import type { PourEvent, StartFacts } from '../../../core/pour/events.ts';
import { fold } from '../../../core/pour/evolve.ts';
import type { PourState } from '../../../core/pour/state.ts';
import type { Settled } from '../../../core/weighing/settling.ts';

export const step = (line: string, target: string, more: Partial<Step> = {}): Step => ({
  line,
  material: line,
  lot: `L-${line}`,
  title: `${line} oil`,
  note: 'heart',
  family: 'florals',
  kind: 'dilution',
  solid: false,
  qs: false,
  target,
  half: Math.max(Number(target) * 0.01, 0.01).toFixed(4),
  drop: '0.025',
  sureness: 'sure',
  dropTooLarge: false,
  cautions: [],
  reason: 'as written',
  ...more,
});

/** Three lines of 30 g: rose 2.00, cedar 4.00, ethanol q.s. 24.00, windows one per cent. */
export const facts: StartFacts = {
  operator: 'tester',
  balance: { name: 'bench', link: 'none', limits: { d: '0.01', s: '0.0041', c: '0', capacity: '200' } },
  formula: { id: 'f', name: 'Three lines', batch: '30', tolerance: '0.01', lines: [] },
  plan: {
    total: '30',
    tolerance: '0.01',
    steps: [
      step('rose', '2'),
      step('cedar', '4'),
      step('ethanol', '24', { qs: true, kind: 'solvent', note: null, family: 'solvents', drop: '0.017' }),
    ],
    warnings: [],
  },
  materials: [],
  lots: [],
};

/** A reading at rest. */
export const rest = (g: string): Settled => ({ g, at: 1000, since: 300, readings: 8, rule: 'test' });

export const begun = (line: string, before: string): PourEvent => ({
  type: 'pour-begun',
  line,
  lot: `L-${line}`,
  confirmed: 'by eye',
  before,
});

/** A batch led by commands from its start; every refusal fails the test that meets it. */
export class Led {
  readonly events: PourEvent[];

  constructor(given: StartFacts = facts) {
    this.events = [{ type: 'started', ...given }];
  }

  get state(): PourState {
    return fold(this.events);
  }

  do(command: PourCommand): PourEvent[] {
    const events = decide(this.state, command);
    this.events.push(...events);
    return events;
  }

  vessel(gross: string): this {
    this.do({ type: 'confirm-vessel', settled: rest(gross) });
    return this;
  }

  /** The events so far as types. */
  get types(): string[] {
    return this.events.map((event) => event.type);
  }

  /** Takes the next bottle and settles at `gross`. */
  pour(gross: string): PourEvent[] {
    this.do({ type: 'confirm-bottle', how: 'by eye', settled: null });
    return this.do({ type: 'settled', settled: rest(gross) });
  }
}
