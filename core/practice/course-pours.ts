import type { FormulaLine } from '../formula/types.ts';
import type { Lesson, PourTask } from './lesson.ts';
import { organOf } from './organ.ts';

interface PourOrder {
  readonly id: string;
  readonly name: string;
  readonly batch: string;
  readonly tolerance: string;
  readonly lines: readonly FormulaLine[];
  readonly shelf?: readonly string[];
  readonly slip?: PourTask['slip'];
  readonly cautions?: PourTask['cautions'];
}

function task({ shelf, slip, cautions, ...formula }: PourOrder): PourTask {
  const codes = [...(shelf ?? []), ...formula.lines.flatMap((line) => line.lot ?? [])];
  return {
    engine: 'pour',
    formula,
    ...organOf(codes),
    cautions: cautions ?? 'shown',
    ...(shelf === undefined ? {} : { shelf }),
    ...(slip === undefined ? {} : { slip }),
  };
}

const WATER: FormulaLine = { id: 'water', material: 'water', lot: 'PW-1', qs: true };
const SPILLS = 'Wipe what is spilt at once. Coloured water stains: an old cloth under the vessel.';

/** Lessons that are a whole pour, by the engine of Pour, with the practice shelf. */
export const POUR_LESSONS: readonly Lesson[] = [
  {
    id: 'one-gram',
    title: '1.00 g within a window',
    what: 'Pour 1.00 g of amber water, then water up to 3.00 g, and end each inside its window.',
    why: 'The window is what a line may be off. Inside it everything is good; nobody needs the exact middle, and nobody should stop before it.',
    good: 'Freely until about four drops remain, a pause, then the drops that are still wanted. Inside at the first try.',
    cautions: [SPILLS],
    about: ['overshoot'],
    minutes: 4,
    room: 'quiet',
    task: task({
      id: 'practice-one-gram',
      name: '1.00 g within a window',
      batch: '3.00',
      tolerance: '0.03',
      lines: [{ id: 'amber', material: 'amber-water', fraction: '0.3333333333', lot: 'PA-1' }, WATER],
    }),
  },
  {
    id: 'stop-in-time',
    title: 'Stop in time',
    what: 'Pour 2 g of green water, then 8 g of water quickly, and stop before each window rather than behind it.',
    why: 'The display is late by half a second, and so is the hand. What is in flight cannot be called back: whoever stops at the figure has already gone past it.',
    good: 'The stream ends while a few drops are still to go; the rest comes drop by drop.',
    cautions: [SPILLS],
    about: ['overshoot', 'touch-off'],
    minutes: 4,
    room: 'quiet',
    task: task({
      id: 'practice-stop',
      name: 'Stop in time',
      batch: '10.00',
      tolerance: '0.01',
      lines: [{ id: 'green', material: 'green-water', fraction: '0.2', lot: 'PG-1' }, WATER],
    }),
  },
  {
    id: 'small-amount',
    title: 'A small amount, and why it cannot be weighed neat',
    what: 'Pour 0.04 g of blue water neat, then as much of green water as 0.40 g of its 10 % dilution.',
    why: 'One drop is 0.04 g: neat, one drop more is twice as much. The balance sees 0.01 g, a quarter of it. As a dilution of 10 % the same amount is ten drops, and one drop more is a tenth.',
    good: 'See for yourself: the neat line can hardly be met, the diluted one easily. That is why small amounts are diluted first.',
    cautions: [SPILLS],
    about: ['overshoot'],
    minutes: 6,
    room: 'quiet',
    task: task({
      id: 'practice-small',
      name: 'A small amount, neat and diluted',
      batch: '5.00',
      tolerance: '0.03',
      lines: [
        { id: 'blue', material: 'blue-water', fraction: '0.008', lot: 'PB-1' },
        { id: 'green', material: 'green-water', fraction: '0.008', lot: 'PG-1-10' },
        WATER,
      ],
    }),
  },
  {
    id: 'ten-per-cent',
    title: 'A 10 % dilution',
    what: 'Make 10 g of a dilution: 1.00 g of practice oil, and water up to 10.00 g.',
    why: 'This is what a perfumer makes most. An error of the first gram goes into every blend that is made from the bottle later.',
    good: 'Both lines inside, the closing check done, and the strength between 9.9 and 10.1 %.',
    cautions: [
      SPILLS,
      'Kitchen oil floats on water; in earnest the oil dissolves in ethanol: no flame near it.',
    ],
    about: ['overshoot'],
    minutes: 6,
    room: 'quiet',
    task: task({
      id: 'practice-ten',
      name: 'A 10 % dilution',
      batch: '10.00',
      tolerance: '0.01',
      lines: [{ id: 'oil', material: 'practice-oil', fraction: '0.1', lot: 'PO-1' }, WATER],
    }),
  },
  {
    id: 'clean-bench',
    title: 'Clean pipette, right bottle, right lid',
    what: 'Pour two colours and water. The shelf holds bottles that look alike: take the one whose lot the step names.',
    why: 'A wrong bottle spoils a batch, a wrong lid spoils a bottle, a used pipette spoils both, and each is seen too late.',
    good: 'The lot is read on the bottle before it is opened; a fresh pipette for each; the lid back on before the next.',
    cautions: [SPILLS, 'Gloves on, as if it were neat oil.'],
    about: ['right-bottle', 'fresh-pipette', 'cautions'],
    minutes: 8,
    room: 'quiet',
    task: task({
      id: 'practice-clean',
      name: 'Two colours and water',
      batch: '6.00',
      tolerance: '0.03',
      shelf: ['PB-7', 'PG-1-10', 'PA-1', 'PB-1', 'PG-1', 'PW-1'],
      cautions: 'required',
      lines: [
        { id: 'blue', material: 'blue-water', fraction: '0.1', lot: 'PB-1' },
        { id: 'green', material: 'green-water', fraction: '0.15', lot: 'PG-1' },
        WATER,
      ],
    }),
  },
  {
    id: 'overpour',
    title: 'The overpour, and what to do',
    what: 'Too much falls into the vessel, on purpose. Choose how to put it right.',
    why: 'It happens to everyone. Adding a little to the other lines keeps the proportion, and nothing is lost but some material; hiding it makes the label lie.',
    good: 'Stop, look at the choices, take the one that costs least and ends inside. No haste: the vessel waits.',
    cautions: [SPILLS, 'On a real balance: let five drops too many fall onto the second colour, on purpose.'],
    about: ['correction'],
    minutes: 8,
    room: 'quiet',
    task: task({
      id: 'practice-over',
      name: 'The overpour',
      batch: '6.00',
      tolerance: '0.03',
      slip: { line: 'amber', drops: 5 },
      lines: [
        { id: 'green', material: 'green-water', fraction: '0.1', lot: 'PG-1' },
        { id: 'amber', material: 'amber-water', fraction: '0.2', lot: 'PA-1' },
        WATER,
      ],
    }),
  },
  {
    id: 'accord',
    title: 'A three-line accord, calmly',
    what: 'Pour an accord of three colours, and water to fill, in ten minutes: everything learnt so far, without hurry.',
    why: 'At work there is a clock. Haste costs more than it saves: a line that has to be put right takes longer than three poured calmly.',
    good: 'All lines inside within the time. Nobody is faster than that for a better mark.',
    cautions: [SPILLS, 'Fifteen minutes of rest in the hour (common practice, no source).'],
    about: ['overshoot'],
    minutes: 10,
    timed: true,
    room: 'normal',
    task: task({
      id: 'practice-accord',
      name: 'Accord of three colours',
      batch: '8.00',
      tolerance: '0.02',
      cautions: 'required',
      lines: [
        { id: 'amber', material: 'amber-water', fraction: '0.15', lot: 'PA-1' },
        { id: 'green', material: 'green-water', fraction: '0.1', lot: 'PG-1' },
        { id: 'blue', material: 'blue-water', fraction: '0.2', lot: 'PB-1' },
        WATER,
      ],
    }),
  },
];
