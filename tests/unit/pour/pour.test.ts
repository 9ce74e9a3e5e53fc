import { describe, expect, it } from 'vitest';
import { PourRefusal } from '../../../core/pour/commands.ts';
import { lineOf, netTotal, nextLine } from '../../../core/pour/state.ts';
import { facts, Led, rest } from './given.ts';

const refusal = (act: () => unknown): PourRefusal => {
  try {
    act();
  } catch (cause) {
    if (cause instanceof PourRefusal) return cause;
    throw cause;
  }
  throw new Error('nothing was refused');
};

describe('the vessel', () => {
  it('given a moving reading, is not taken', () => {
    const led = new Led();
    expect(refusal(() => led.do({ type: 'confirm-vessel', settled: null })).message).toContain('still moves');
    expect(led.state.phase).toBe('vessel');
  });

  it('given an empty pan, is asked for', () => {
    expect(refusal(() => new Led().do({ type: 'confirm-vessel', settled: rest('0.02') })).next).toContain(
      'vessel',
    );
  });

  it('given a vessel that leaves no room for the batch, is refused with both figures', () => {
    const { message } = refusal(() => new Led().do({ type: 'confirm-vessel', settled: rest('180.00') }));
    expect(message).toContain('210.00');
    expect(message).toContain('200');
  });

  it('when at rest, is the gross the first pour begins at', () => {
    const led = new Led().vessel('61.48');
    led.do({ type: 'confirm-bottle', how: 'by eye', settled: null });
    expect(led.state.inHand?.before.toString()).toBe('61.48');
  });
});

describe('a bottle', () => {
  it('given the code of another lot, stops the hand and names both', () => {
    const led = new Led().vessel('50.00');
    const { message } = refusal(() =>
      led.do({ type: 'confirm-bottle', how: 'by scan', lot: 'L-cedar', settled: rest('50.00') }),
    );
    expect(message).toContain('L-cedar');
    expect(message).toContain('L-rose');
    expect(led.state.phase).toBe('bottle');
  });

  it('given a vessel lifted away, asks for it back', () => {
    const led = new Led().vessel('50.00');
    const act = () => led.do({ type: 'confirm-bottle', how: 'by eye', settled: rest('-49.90') });
    expect(refusal(act).next).toContain('Put the vessel back');
  });

  it('given a display zeroed by hand, counts from there and the closure takes the jump out', () => {
    const led = new Led().vessel('50.00');
    led.pour('52.00');
    const events = led.do({ type: 'confirm-bottle', how: 'by eye', settled: rest('0.00') });
    expect(events.map((event) => event.type)).toEqual(['confirmed', 're-zeroed', 'pour-begun']);
    led.do({ type: 'settled', settled: rest('4.00') });
    led.pour('28.00');
    led.do({ type: 'close', settled: rest('28.00') });
    expect(led.state.closure?.toString()).toBe('0');
    expect(netTotal(led.state).toString()).toBe('30');
  });
});

describe('a capture', () => {
  it('given a net inside its window, ends the line', () => {
    const led = new Led().vessel('50.00');
    const [event] = led.pour('52.01');
    expect(event).toMatchObject({
      type: 'captured',
      net: '2.01',
      verdict: 'inside',
      before: '50.00',
      after: '52.01',
    });
    expect(nextLine(led.state)?.step.line).toBe('cedar');
  });

  it('given a net under its window, waits', () => {
    const led = new Led().vessel('50.00');
    expect(led.pour('51.50')).toEqual([]);
    expect(led.state.phase).toBe('pouring');
    expect(led.do({ type: 'settled', settled: rest('52.00') })).toHaveLength(1);
  });

  it('given a net kept under its window by the person, is recorded as under', () => {
    const led = new Led().vessel('50.00');
    led.pour('51.50');
    led.do({ type: 'accept-under', settled: rest('51.50') });
    expect(lineOf(led.state, 'rose')).toMatchObject({ end: 'under' });
    expect(lineOf(led.state, 'rose').poured.toString()).toBe('1.5');
  });

  it('given a net past its window, opens the choices', () => {
    const led = new Led().vessel('50.00');
    expect(led.pour('52.09')).toMatchObject([{ verdict: 'over', net: '2.09' }]);
    expect(led.state.phase).toBe('over');
  });

  it('never happens while the pour is paused or the balance is lost', () => {
    const led = new Led().vessel('50.00');
    led.do({ type: 'confirm-bottle', how: 'by eye', settled: null });
    led.do({ type: 'pause', why: 'break' });
    expect(led.do({ type: 'settled', settled: rest('52.00') })).toEqual([]);
    led.do({ type: 'resume' });
    led.do({ type: 'balance-lost', why: 'unplugged' });
    expect(led.do({ type: 'settled', settled: rest('52.00') })).toEqual([]);
    led.do({ type: 'balance-back' });
    expect(led.do({ type: 'settled', settled: rest('52.00') })).toHaveLength(1);
  });

  it('is revised by a better settled value until the next bottle, and by none after', () => {
    const led = new Led().vessel('50.00');
    led.pour('52.00');
    expect(led.do({ type: 'settled', settled: rest('52.01') })).toMatchObject([
      { type: 'revised', net: '2.01' },
    ]);
    led.do({ type: 'confirm-bottle', how: 'by eye', settled: rest('52.01') });
    expect(led.state.pours[0]).toMatchObject({ confirmed: true });
    expect(led.state.pours[0]?.net.toString()).toBe('2.01');
  });

  it('is not revised by a lifted vessel or a zeroed display', () => {
    const led = new Led().vessel('50.00');
    led.pour('52.00');
    expect(led.do({ type: 'settled', settled: rest('0.00') })).toEqual([]);
    expect(led.do({ type: 'settled', settled: rest('-50.00') })).toEqual([]);
  });

  it('is revised to over where more is found in the vessel', () => {
    const led = new Led().vessel('50.00');
    led.pour('52.00');
    led.do({ type: 'settled', settled: rest('52.30') });
    expect(led.state.phase).toBe('over');
  });
});

describe('a void', () => {
  it('reads the same pour again from where it began, with its reason', () => {
    const led = new Led().vessel('50.00');
    led.pour('52.01');
    led.do({ type: 'void', reason: 'leaned on the bench' });
    expect(led.state.phase).toBe('pouring');
    expect(led.state.inHand?.before.toString()).toBe('50');
    expect(lineOf(led.state, 'rose').poured.isZero()).toBe(true);
    expect(led.do({ type: 'settled', settled: rest('51.99') })).toMatchObject([{ pour: 2, net: '1.99' }]);
    expect(netTotal(led.state).toString()).toBe('1.99');
  });

  it('wants a reason, and an unconfirmed pour', () => {
    const led = new Led().vessel('50.00');
    led.pour('52.01');
    expect(refusal(() => led.do({ type: 'void', reason: ' ' })).message).toContain('reason');
    led.do({ type: 'confirm-bottle', how: 'by eye', settled: null });
    expect(() => led.do({ type: 'void', reason: 'x' })).toThrow(PourRefusal);
  });
});

describe('a line skipped', () => {
  it('is refused once something of it is in the vessel', () => {
    const led = new Led().vessel('50.00');
    led.pour('51.00');
    expect(
      refusal(() => led.do({ type: 'skip', reason: 'broken pipette', settled: rest('51.00') })).message,
    ).toContain('already in the vessel');
    expect(led.state.phase).toBe('pouring');
  });

  it('before its first drop, ends with its reason', () => {
    const led = new Led().vessel('50.00');
    led.do({ type: 'skip', reason: 'bottle is empty', settled: null });
    expect(lineOf(led.state, 'rose').end).toBe('skipped');
    expect(nextLine(led.state)?.step.line).toBe('cedar');
  });
});

describe('a correction', () => {
  it('exact: scales the lines to come and tops up the lines poured', () => {
    const led = new Led().vessel('50.00');
    led.pour('52.00');
    led.pour('56.40');
    led.do({ type: 'choose', choice: 'exact' });
    const { state } = led;
    expect(state.scale.toNumber()).toBeCloseTo(1.1, 12);
    expect(lineOf(state, 'rose').target.toNumber()).toBeCloseTo(2.2, 12);
    expect(nextLine(state)?.step.line).toBe('rose');
    led.pour('56.60');
    expect(lineOf(led.state, 'rose').poured.toString()).toBe('2.2');
    led.pour('83.00');
    led.do({ type: 'close', settled: rest('83.00') });
    expect(led.state.phase).toBe('closed');
    expect(netTotal(led.state).toNumber()).toBeCloseTo(33, 9);
  });

  it('least: leaves every line inside its new window', () => {
    const led = new Led().vessel('50.00');
    led.pour('52.00');
    led.pour('56.40');
    led.do({ type: 'choose', choice: 'least' });
    let gross = 56.4;
    for (let line = nextLine(led.state); line !== null; line = nextLine(led.state)) {
      const aim = line.topUp?.aim.toNumber() ?? line.target.minus(line.poured).toNumber();
      gross = Number((gross + aim).toFixed(2));
      led.pour(gross.toFixed(2));
    }
    for (const line of led.state.lines) {
      const off = line.poured.minus(line.target).abs().toNumber();
      expect(off, line.step.line).toBeLessThanOrEqual(line.half.toNumber() + 1e-12);
    }
    expect(led.state.phase).toBe('closing');
  });

  it('keep: goes on with the targets as they were, the line marked', () => {
    const led = new Led().vessel('50.00');
    led.pour('52.00');
    led.pour('56.40');
    led.do({ type: 'choose', choice: 'keep' });
    expect(lineOf(led.state, 'cedar').end).toBe('kept');
    expect(nextLine(led.state)?.step.line).toBe('ethanol');
    expect(led.state.scale.toString()).toBe('1');
  });

  it('of a correction: a top-up past its window opens the choices again', () => {
    const led = new Led().vessel('50.00');
    led.pour('52.00');
    led.pour('56.40');
    led.do({ type: 'choose', choice: 'exact' });
    led.pour('56.90');
    expect(led.state.phase).toBe('over');
    led.do({ type: 'choose', choice: 'exact' });
    expect(led.state.scale.toNumber()).toBeCloseTo(1.25, 9);
  });
});

describe('closing', () => {
  it('compares the final gross with the sum of the nets', () => {
    const led = new Led().vessel('50.00');
    led.pour('52.00');
    led.pour('56.00');
    led.pour('80.00');
    expect(led.state.phase).toBe('closing');
    led.do({ type: 'close', settled: rest('79.98') });
    expect(led.state.closure?.toString()).toBe('-0.02');
  });

  it('is refused with the vessel away', () => {
    const led = new Led().vessel('50.00');
    led.pour('52.00');
    led.pour('56.00');
    led.pour('80.00');
    expect(refusal(() => led.do({ type: 'close', settled: rest('0.00') })).next).toContain(
      'Put the vessel back',
    );
  });
});

it('the state of a batch is the fold of its events, whatever the moment', () => {
  const led = new Led().vessel('50.00');
  led.pour('52.00');
  led.pour('56.40');
  led.do({ type: 'choose', choice: 'least' });
  const again = JSON.parse(JSON.stringify(led.events)) as typeof led.events;
  const copy = new Led();
  copy.events.splice(0, copy.events.length, ...again);
  expect(JSON.stringify(copy.state)).toBe(JSON.stringify(led.state));
  expect(copy.state.facts.plan.total).toBe(facts.plan.total);
});
