import { describe, expect, it } from 'vitest';
import { fold } from '../../../core/pour/evolve.ts';
import { netTotal } from '../../../core/pour/state.ts';
import { type Sheet, typedIn } from '../../../core/pour/typed-in.ts';
import { facts } from './given.ts';

const AT = 1_769_851_800_000;
const nets: Sheet = {
  vessel: '50.00',
  lines: [
    { line: 'rose', net: '2.01' },
    { line: 'cedar', net: '4.00' },
    { line: 'ethanol', net: '23.98' },
  ],
  closing: '80.00',
};
const typed = (sheet: Sheet) => typedIn(facts, sheet, AT);

describe('a sheet typed in afterwards', () => {
  it('given nets, is a closed batch with each as it was written, marked as typed', () => {
    const events = typed(nets);
    const state = fold(events);
    expect(state.phase).toBe('closed');
    expect(netTotal(state).toString()).toBe('29.99');
    expect(state.closure?.toString()).toBe('0.01');
    const captured = events.filter((event) => event.type === 'captured');
    expect(captured.map((event) => [event.line, event.net, event.settled.rule])).toEqual([
      ['rose', '2.01', 'figure typed by hand'],
      ['cedar', '4.00', 'figure typed by hand'],
      ['ethanol', '23.98', 'figure typed by hand'],
    ]);
    expect(events.find((event) => event.type === 'pour-begun')).toMatchObject({ confirmed: 'from a sheet' });
  });

  it('given before and after with a tare between, counts across it', () => {
    const state = fold(
      typed({
        vessel: '50.00',
        lines: [
          { line: 'rose', before: '50.00', after: '52.00' },
          { line: 'cedar', before: '0.00', after: '4.01' },
          { line: 'ethanol', before: '4.01', after: '28.00' },
        ],
        closing: '28.00',
      }),
    );
    expect(netTotal(state).toString()).toBe('30');
    expect(state.closure?.toString()).toBe('0');
  });

  it('given a line past its window and one left out, keeps the one and skips the other', () => {
    const state = fold(
      typed({
        ...nets,
        lines: [
          { line: 'rose', net: '2.40' },
          { line: 'ethanol', net: '24.00' },
        ],
        closing: '76.40',
      }),
    );
    expect(state.lines.map((line) => line.end)).toEqual(['kept', 'skipped', 'inside']);
  });

  it('given no closing gross, says that the closure was not read', () => {
    const events = typed({ vessel: '50.00', lines: nets.lines });
    expect(events).toContainEqual(expect.objectContaining({ type: 'noticed', what: 'no closing gross' }));
  });

  it('given figures that cannot be, names the line and stores nothing', () => {
    const wrong = (lines: Sheet['lines']) => () => typed({ ...nets, lines });
    expect(wrong([{ line: 'rose', before: '50.00', after: '49.00' }])).toThrow('rose oil');
    expect(wrong([{ line: 'rose', net: '2', before: '50.00' }])).toThrow('rose oil');
    expect(wrong([{ line: 'musk', net: '2' }])).toThrow('musk');
    expect(
      wrong([
        { line: 'rose', net: '2' },
        { line: 'rose', net: '1' },
      ]),
    ).toThrow('twice');
    expect(wrong([])).toThrow('Nothing was poured');
  });
});
