import { describe, expect, it } from 'vitest';
import { eventText } from '../../../core/record/words.ts';
import { facts, wholeBatch } from './batch.ts';

const titleOf = (line: string): string => facts.plan.steps.find((step) => step.line === line)?.title ?? line;

describe('events in words', () => {
  it('are one sentence each', () => {
    expect(wholeBatch.map((event) => eventText(event, titleOf))).toEqual([
      'Batch of Rose and cedar begun: 20 g in 3 steps, on bench, by tester.',
      'Empty vessel: 50.00 g.',
      'rose line: lot R10 taken, told by eye; pour begun at 50.00 g.',
      'Pour 1: 2.20 g of rose line from lot R10, over; settled by test rule.',
      'Pour 1 revised to 2.22 g, over; settled by test rule.',
      'Pour 1 confirmed.',
      'Exact correction chosen: targets times 1.11, nothing to top up.',
      'cedar line: lot C50 taken, told by scan; pour begun at 52.22 g.',
      'Pour 2: 4.28 g of cedar line from lot C50, under; settled by test rule.',
      'Pour 2 voided: vessel touched. It is read again from 52.22 g.',
      'Pour 3: 4.44 g of cedar line from lot C50, inside; settled by test rule.',
      'Pour 3 confirmed.',
      'ethanol line: lot E96 taken, told by eye; pour begun at 56.66 g.',
      'Pour 4: 15.54 g of ethanol line from lot E96, inside; settled by test rule.',
      'Pour 4 confirmed.',
      'Closed at 72.19 g, closure -0.01 g.',
    ]);
  });

  it('shorten a long factor and count top-ups', () => {
    const target = {
      line: 'rose',
      target: '2',
      half: '0.02',
      topUp: { low: '0.1', aim: '0.2', high: '0.3' },
    };
    const choice = (scale: string, targets = [target]) =>
      eventText({ type: 'correction-chosen', choice: 'least', scale, targets, total: '20' });
    expect(choice('1.138613861386138613861386')).toBe(
      'Least correction chosen: targets times 1.138614, 1 top-up.',
    );
    expect(choice('10', [target, target])).toBe('Least correction chosen: targets times 10, 2 top-ups.');
    expect(choice('1.100000000000000000000001')).toContain('times 1.1,');
  });

  it('need no titles', () => {
    expect(eventText({ type: 'skipped', line: 'rose', reason: 'none left' })).toBe(
      'rose skipped: none left.',
    );
  });
});
