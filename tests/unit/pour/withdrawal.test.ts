import { describe, expect, it } from 'vitest';
import { choicesOf } from '../../../core/pour/choices.ts';
import { PourRefusal } from '../../../core/pour/commands.ts';
import type { ChoiceKind } from '../../../core/pour/events.ts';
import { fold } from '../../../core/pour/evolve.ts';
import { lineOf, netTotal, nextLine } from '../../../core/pour/state.ts';
import { Led, rest } from './given.ts';

const refusal = (act: () => unknown): PourRefusal => {
  try {
    act();
  } catch (cause) {
    if (cause instanceof PourRefusal) return cause;
    throw cause;
  }
  throw new Error('nothing was refused');
};

const choose = (led: Led, choice: ChoiceKind) => led.do({ type: 'choose', choice });
const settle = (led: Led, g: string) => led.do({ type: 'settled', settled: rest(g) });

/** Rose 2.30 g where 2.00 was wanted, alone in a vessel of 50.00 g. */
function roseOver(): Led {
  const led = new Led().vessel('50.00');
  led.pour('52.30');
  return led;
}

/** Rose inside at 2.00, then cedar 4.40 g where 4.00 was wanted. */
function cedarOver(): Led {
  const led = new Led().vessel('50.00');
  led.pour('52.00');
  led.pour('56.40');
  return led;
}

describe('withdrawing from the first line alone', () => {
  it('when chosen, asks for the excess within the window', () => {
    const led = roseOver();
    const events = choose(led, 'withdraw-unmixed');
    expect(events.map((event) => event.type)).toEqual(['confirmed', 'withdrawal-begun']);
    expect(events[1]).toMatchObject({
      from: 'unmixed',
      low: '0.28',
      aim: '0.3',
      high: '0.32',
      before: '52.30',
    });
    expect(led.state.phase).toBe('withdrawing');
  });

  it('when the excess is out, the line is inside and the next bottle is fetched', () => {
    const led = roseOver();
    choose(led, 'withdraw-unmixed');
    const [event] = settle(led, '52.00');
    expect(event).toMatchObject({ type: 'withdrawn', taken: '0.30', before: '52.30', verdict: 'inside' });
    expect(lineOf(led.state, 'rose')).toMatchObject({ end: 'inside' });
    expect(lineOf(led.state, 'rose').poured.toFixed()).toBe('2');
    expect(led.state.phase).toBe('bottle');
    expect(netTotal(led.state).toFixed()).toBe('2');
    expect(nextLine(led.state)?.step.line).toBe('cedar');
  });

  it('while less than enough is out, captures nothing', () => {
    const led = roseOver();
    choose(led, 'withdraw-unmixed');
    expect(settle(led, '52.15')).toEqual([]);
    expect(led.state.phase).toBe('withdrawing');
  });

  it('when too much is out, the line is open again and poured on to its target', () => {
    const led = roseOver();
    choose(led, 'withdraw-unmixed');
    expect(settle(led, '51.60')[0]).toMatchObject({ verdict: 'under', taken: '0.70' });
    expect(nextLine(led.state)?.step.line).toBe('rose');
    led.pour('52.01');
    expect(lineOf(led.state, 'rose').end).toBe('inside');
    expect(lineOf(led.state, 'rose').poured.toFixed()).toBe('2.01');
  });

  it('when the reading goes up, captures nothing, and saying that it is enough is refused', () => {
    const led = roseOver();
    choose(led, 'withdraw-unmixed');
    expect(settle(led, '52.60')).toEqual([]);
    const refused = refusal(() => led.do({ type: 'accept-under', settled: rest('52.60') }));
    expect(refused.message).toContain('more came in');
    expect(led.state.phase).toBe('withdrawing');
  });

  it('with the vessel lifted or the display zeroed, takes neither for a withdrawal', () => {
    const led = roseOver();
    choose(led, 'withdraw-unmixed');
    for (const g of ['0.00', '-0.01', '-52.30']) expect(settle(led, g)).toEqual([]);
    expect(refusal(() => led.do({ type: 'accept-under', settled: rest('0.00') })).next).toContain(
      'vessel back',
    );
  });

  it('with nothing taken out, can be left, and the choice is open again', () => {
    const led = roseOver();
    choose(led, 'withdraw-unmixed');
    led.do({ type: 'accept-under', settled: rest('52.31') });
    expect(led.types.at(-1)).toBe('withdrawal-left');
    expect(led.state.phase).toBe('over');
    choose(led, 'least');
    expect(led.state.phase).toBe('bottle');
  });

  it('left with too little out, is recorded, and the line is past its window still', () => {
    const led = roseOver();
    choose(led, 'withdraw-unmixed');
    const [event] = led.do({ type: 'accept-under', settled: rest('52.20') });
    expect(event).toMatchObject({ type: 'withdrawn', taken: '0.10', verdict: 'over' });
    expect(led.state.phase).toBe('over');
    expect(choicesOf(led.state).withdrawUnmixed?.aim.toFixed()).toBe('0.2');
    choose(led, 'withdraw-unmixed');
    settle(led, '52.00');
    expect(lineOf(led.state, 'rose').poured.toFixed()).toBe('2');
  });

  it('is revised while the next bottle is fetched, and no more once it is in hand', () => {
    const led = roseOver();
    choose(led, 'withdraw-unmixed');
    settle(led, '52.01');
    expect(settle(led, '51.99')[0]).toMatchObject({ type: 'withdrawal-revised', taken: '0.31' });
    expect(lineOf(led.state, 'rose').poured.toFixed()).toBe('1.99');
    expect(led.state.withdrawn.toFixed()).toBe('0.31');
    led.do({ type: 'confirm-bottle', how: 'by eye', settled: rest('51.99') });
    expect(led.state.undrawn).toBeNull();
    expect(settle(led, '51.90')).toEqual([]);
  });

  it('is refused with another line in the vessel, and with an excess below a drop', () => {
    expect(refusal(() => choose(cedarOver(), 'withdraw-unmixed')).next).toContain('another');
    expect(choicesOf(cedarOver().state).withdrawUnmixed).toBeNull();
  });

  it('cannot be chosen where nothing is past its window, nor while the balance is lost', () => {
    const led = new Led().vessel('50.00');
    led.pour('52.00');
    expect(refusal(() => choose(led, 'withdraw-unmixed')).message).toContain('does not fit');
    const lost = roseOver();
    lost.do({ type: 'balance-lost', why: 'unplugged' });
    expect(refusal(() => choose(lost, 'withdraw-unmixed')).message).toContain('not there');
  });

  it('comes out of a fold of its events as it stood, in the middle and after', () => {
    const led = roseOver();
    choose(led, 'withdraw-unmixed');
    const resumed = new Led();
    resumed.events.splice(0, 1, ...(JSON.parse(JSON.stringify(led.events)) as Led['events']));
    expect(resumed.state.phase).toBe('withdrawing');
    settle(resumed, '52.00');
    expect(fold(resumed.events).lines[0]?.poured.toFixed()).toBe('2');
  });

  it('leaves a closure that knows what was taken out', () => {
    const led = roseOver();
    choose(led, 'withdraw-unmixed');
    settle(led, '52.00');
    led.pour('56.00');
    led.pour('80.00');
    led.do({ type: 'close', settled: rest('80.00') });
    expect(led.state.closure?.toFixed()).toBe('0');
    expect(netTotal(led.state).toFixed()).toBe('30');
  });
});

describe('withdrawing from a stirred vessel', () => {
  it('least: takes so much that the line is back in its window, and tops the others up', () => {
    const led = cedarOver();
    const events = choose(led, 'withdraw-least');
    expect(events.at(-1)).toMatchObject({
      type: 'withdrawal-begun',
      from: 'stirred',
      kind: 'least',
      high: null,
    });
    const { withdrawing } = led.state;
    expect(settle(led, '56.20')).toEqual([]);
    const [event] = settle(led, '55.80');
    expect(Number(withdrawing?.aim)).toBeLessThan(0.6);
    expect(event).toMatchObject({
      type: 'withdrawn',
      from: 'stirred',
      taken: '0.60',
      verdict: 'inside',
      scale: '1',
    });
    const cedar = lineOf(led.state, 'cedar');
    expect(cedar.poured.toFixed(6)).toBe((4.4 * (1 - 0.6 / 6.4)).toFixed(6));
    expect(cedar.end).toBe('inside');
    const rose = lineOf(led.state, 'rose');
    expect(rose.poured.toFixed(6)).toBe((2 * (1 - 0.6 / 6.4)).toFixed(6));
    expect(rose).toMatchObject({ end: 'open' });
    expect(rose.topUp).not.toBeNull();
    expect(nextLine(led.state)?.step.line).toBe('rose');
  });

  it('pours made afterwards stay whole', () => {
    const led = cedarOver();
    choose(led, 'withdraw-exact');
    settle(led, '55.80');
    led.pour('55.99');
    expect(led.state.pours.map((pour) => pour.stays.toFixed(5))).toEqual(['0.90625', '0.90625', '1.00000']);
  });

  it('is not offered while one line is in the vessel', () => {
    const { withdrawLeast, withdrawExact } = choicesOf(roseOver().state);
    expect([withdrawLeast, withdrawExact]).toEqual([null, null]);
    expect(refusal(() => choose(roseOver(), 'withdraw-exact')).message).toContain('does not help');
  });

  it('left early, leaves the line past its window and every line lessened', () => {
    const led = cedarOver();
    choose(led, 'withdraw-exact');
    led.do({ type: 'accept-under', settled: rest('56.30') });
    expect(led.state.phase).toBe('over');
    expect(lineOf(led.state, 'rose').poured.toFixed(6)).toBe((2 * (6.3 / 6.4)).toFixed(6));
    choose(led, 'exact');
    const rose = lineOf(led.state, 'rose');
    const cedar = lineOf(led.state, 'cedar');
    expect(rose.target.div(cedar.target).toFixed(12)).toBe('0.500000000000');
  });

  it('a line overpoured after it is corrected from what is left', () => {
    const led = cedarOver();
    choose(led, 'withdraw-exact');
    settle(led, '55.80');
    led.pour('56.20');
    expect(led.state.phase).toBe('over');
    choose(led, 'exact');
    for (let n = 0; n < 4 && led.state.phase === 'bottle'; n += 1) {
      const line = nextLine(led.state);
      const gross = led.state.gross ?? led.state.vessel;
      const due = line?.topUp?.aim ?? line?.target.minus(line.poured);
      led.pour(
        gross
          ?.plus(due ?? 0)
          .toDecimalPlaces(20)
          .toFixed() ?? '',
      );
    }
    expect(led.state.phase).toBe('closing');
    const [rose, cedar, ethanol] = led.state.lines.map((line) => line.poured);
    expect(cedar?.div(rose ?? 1).toFixed(12)).toBe('2.000000000000');
    expect(ethanol?.div(rose ?? 1).toFixed(12)).toBe('12.000000000000');
  });
});
