import { describe, expect, it } from 'vitest';
import { shapeNamed } from '../../../drivers/frames/shapes.ts';
import { Intake } from '../../../drivers/link/intake.ts';
import { parseLineSettings } from '../../../drivers/link/line-settings.ts';

const bytes = (text: string): Buffer => Buffer.from(text, 'latin1');
const line = parseLineSettings('9600 8N1');
const grams = (intake: Intake, text: string): string[] =>
  intake.take(bytes(text), 0).observations.flatMap((one) => (one.kind === 'weight' ? [one.g] : []));

describe('the first line after an opening', () => {
  it('counts where its header shows that it is whole', () => {
    expect(grams(new Intake(line, shapeNamed('comma-headed')), 'ST,+00012.34  g\r\n')).toEqual(['12.34']);
  });

  const whole = 'ST,+00012.34  g';
  it.each(Array.from({ length: whole.length - 1 }, (_, n) => whole.slice(n + 1)))(
    'is no weight as the torn tail "%s"',
    (tail) => {
      expect(grams(new Intake(line, shapeNamed('comma-headed')), `${tail}\r\n`)).toEqual([]);
      expect(grams(new Intake(line, null), `${tail}\r\n`.concat(`${whole}\r\n`.repeat(3)))).toEqual(
        Array(3).fill('12.34'),
      );
    },
  );

  it('is left out in a shape whose lines have no header', () => {
    expect(grams(new Intake(line, shapeNamed('plain')), '2.34 g\r\n12.34 g\r\n')).toEqual(['12.34']);
  });
});

describe('without a shape', () => {
  it('the lines it was told from are read too, so that nothing is lost', () => {
    const intake = new Intake(line, null);
    expect(grams(intake, 'ST,+00012.34  g\r\nUS,+00012.35  g\r\n')).toEqual([]);
    expect(grams(intake, 'ST,+00012.36  g\r\n')).toEqual(['12.34', '12.35', '12.36']);
    expect(intake.shape?.name).toBe('comma-headed');
  });
});
