import type { ExerciseStep, Lesson } from './lesson.ts';

const VESSEL = { g: '48', spread: '14' } as const;

const ZERO: ExerciseStep = {
  do: 'zero',
  id: 'zero',
  says: 'The pan is empty. Does the display show zero? If not, press the zero key. Then go on.',
};
const PUT: ExerciseStep = {
  do: 'put',
  what: 'vessel',
  id: 'vessel',
  says: 'Put the empty vessel in the middle of the pan, once, and take your hand away.',
};
const read = (id: string, says = 'Wait until the figure stands, then press Read.'): ExerciseStep => ({
  do: 'read',
  id,
  says,
});
const add = (id: string, g: string, says: string): ExerciseStep => ({ do: 'add', id, g, says });

/** Lessons that are no whole pour: zero, reading, drops, tare, draught, check weight. */
export const EXERCISE_LESSONS: readonly Lesson[] = [
  {
    id: 'level-and-zero',
    title: 'Level and zero',
    what: 'Look at the bubble, bring the empty pan to zero, weigh one thing, and see the pan come back to zero.',
    why: 'Everything weighed later is a difference from this zero. A slanting balance, or one that was not at zero, is wrong all day without a sign.',
    good: 'Zero on the display before anything is on the pan, and zero again, within one step of the last digit, once it is off.',
    cautions: ['Never press on the pan. Lift the vessel straight up.'],
    minutes: 2,
    room: 'quiet',
    task: {
      engine: 'exercise',
      object: VESSEL,
      steps: [
        { do: 'look', id: 'level', says: 'Look at the bubble: it stands in the middle of its ring.' },
        ZERO,
        PUT,
        read('loaded'),
        { do: 'off', id: 'off', says: 'Lift the vessel off.' },
        read('empty', 'Wait until the figure stands: it should be zero again. Press Read.'),
      ],
    },
  },
  {
    id: 'settled-figure',
    title: 'Read a settled figure',
    what: 'Read the display three times: after the vessel, after a pour, and after a few drops.',
    why: 'A balance needs about a second to come to rest. A figure read while it still moves is the commonest error there is, and nobody sees it afterwards.',
    good: 'Hands off, then a figure that has stood for a second, then Read. Three times out of three.',
    cautions: ['Wipe what is spilt at once: water under the pan spoils a balance.'],
    minutes: 3,
    room: 'quiet',
    task: {
      engine: 'exercise',
      object: VESSEL,
      steps: [
        ZERO,
        PUT,
        read('vessel-read'),
        add('pour', '1.0', 'Pour about 1 g of water in. It need not be exact.'),
        read('pour-read'),
        add('drops', '0.15', 'Let three or four drops of water fall.'),
        read('drops-read'),
      ],
    },
  },
  {
    id: 'one-drop',
    title: 'One drop at a time, and what it weighs',
    what: 'Let ten drops fall, one at a time, counted aloud, and work out what one weighs.',
    why: 'A drop is the smallest amount a pipette can give. Whoever knows what it weighs knows how close a target can be met, and how many drops are still to go.',
    good: 'A steady rhythm of about one drop a second, a true count, and a mean within a tenth of a step.',
    cautions: ['Hold the pipette upright: a tilted one gives smaller drops.'],
    minutes: 4,
    room: 'quiet',
    task: {
      engine: 'exercise',
      object: VESSEL,
      steps: [
        ZERO,
        PUT,
        read('before'),
        {
          do: 'add',
          id: 'ten',
          g: '0.3',
          drops: 10,
          says: 'Let ten drops of water fall, one at a time, and count them.',
        },
        { do: 'count', id: 'count', says: 'How many drops fell? The true count, even if it is not ten.' },
        read('after'),
        {
          do: 'answer',
          id: 'drop',
          unit: 'mg',
          wanted: { from: 'drop', of: 'after', less: 'before', count: 'count' },
          says: 'What does one drop weigh, in mg? Second figure less first, divided by the count, times 1000.',
        },
      ],
    },
  },
  {
    id: 'tare-and-gross',
    title: 'Tare and running gross',
    what: 'Weigh the same way twice: once as the difference of two gross figures, once from a tared display.',
    why: 'A tared display is easy to read and easy to forget. Running gross needs a subtraction, and nothing is lost by it: near a fresh zero many balances swallow slow drops.',
    good: 'Both nets right, and no figure mixed up: gross less gross, or the display after a tare, never one for the other.',
    cautions: ['The tare key belongs to the vessel; the zero key to the empty pan.'],
    minutes: 5,
    room: 'quiet',
    task: {
      engine: 'exercise',
      object: VESSEL,
      steps: [
        ZERO,
        PUT,
        read('gross-1', 'This is the gross of the vessel. Wait until it stands, then press Read.'),
        add('first', '0.5', 'Pour about half a gram of water in.'),
        read('gross-2'),
        {
          do: 'answer',
          id: 'net',
          unit: 'g',
          wanted: { from: 'difference', of: 'gross-2', less: 'gross-1' },
          says: 'How much was poured, in g? Second gross less first.',
        },
        { do: 'tare', id: 'tare', says: 'Press the tare key with the vessel on. The display shows zero.' },
        add('second', '0.5', 'Pour about half a gram more.'),
        read('tared', 'Now the display is the net. Wait until it stands, then press Read.'),
        {
          do: 'answer',
          id: 'both',
          unit: 'g',
          wanted: { from: 'sum', of: 'gross-2', less: 'gross-1', and: 'tared' },
          says: 'How much water is in the vessel by both pours together, in g?',
        },
      ],
    },
  },
  {
    id: 'draughty-bench',
    title: 'A draughty bench',
    what: 'Read three figures where the air moves, and wait as long as it takes.',
    why: 'A draught lifts or presses the pan for a second or two, and holds it there: it looks like a settled figure. From the next door or a window it comes without a sound.',
    good: 'A figure that has stood for a second is read, one that wanders is not. With patience all three are true.',
    cautions: ['In earnest: close the window, put up the draught shield, move the balance.'],
    minutes: 4,
    room: 'draughty',
    task: {
      engine: 'exercise',
      object: VESSEL,
      steps: [
        ZERO,
        PUT,
        read('vessel-read', 'The air moves. Watch the figure for a while; when it has stood, press Read.'),
        add('pour', '0.5', 'Pour about half a gram of water in.'),
        read('pour-read'),
        add('drops', '0.15', 'Let three or four drops fall.'),
        read('drops-read'),
      ],
    },
  },
  {
    id: 'check-weight',
    title: 'The check weight',
    what: 'Weigh a 50 g check weight and say whether the balance may be used today.',
    why: 'A balance that was dropped or overloaded goes on showing figures. A weight that is known is the only way to tell.',
    good: 'Zero, weight on, a settled figure, weight off, zero again: and the right verdict, whatever it is.',
    cautions: ['Touch the weight with a glove or forceps only: a fingerprint weighs, and it corrodes.'],
    minutes: 3,
    room: 'quiet',
    task: {
      engine: 'exercise',
      object: { g: '50', spread: '0.04' },
      steps: [
        ZERO,
        {
          do: 'put',
          what: 'weight',
          id: 'weight',
          says: 'Put the 50 g weight in the middle of the pan, with forceps or a glove.',
        },
        read('weight-read'),
        {
          do: 'answer',
          id: 'verdict',
          unit: '',
          wanted: { from: 'limit', of: 'weight-read', nominal: '50', limit: '0.02' },
          says: 'This workshop allows 0.02 g either way. Is the figure inside or outside of that?',
        },
        { do: 'off', id: 'off', says: 'Take the weight off and put it back in its box.' },
        read('empty', 'Wait until the figure stands: it should be zero again. Press Read.'),
      ],
    },
  },
];
