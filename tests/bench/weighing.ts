/**
 * Settling, drops and guidance on simulated balances, beside naive rules on the same traces.
 * node tests/bench/weighing.ts [pours per table] [seed]
 */
import { countByRise, countFrom, countReading, learnDrop } from '../../core/weighing/drops.ts';
import { predict } from '../../core/weighing/prediction.ts';
import { equalReadings, withinOneStep } from '../../core/weighing/rules.ts';
import { type SettlingState, settle, unsettled } from '../../core/weighing/settling.ts';
import { seeded } from '../../drivers/simulated/seeded.ts';
import {
  byConfirmed,
  byFirst,
  byOnset,
  byRule,
  quantile,
  ROOM_NAMES,
  type Score,
  score,
  share,
  type Use,
  wrongIn,
} from './figures.ts';
import { type Hand, type Outcome, pour } from './hands.ts';
import { type RoomName, type Trace, type TypeName, trace, traces } from './traces.ts';

const COUNT = Number(process.argv[2] ?? 1500);
const SEED = Number(process.argv[3] ?? 20_261);
const TYPES = ['A', 'B', 'D'] as const;
const say = (text: string): void => void process.stdout.write(`${text}\n`);
const cell = (value: string | number, width = 8): string => String(value).padStart(width);
const num = (value: number, digits = 2): string => value.toFixed(digits);

function row(name: string, hz: number, result: Score): void {
  const per = (of: readonly (RoomName | TypeName)[]): string =>
    of.map((one) => cell(result.among[one] === undefined ? '-' : num(wrongIn(result, one)), 5)).join(' /');
  const times = `${num(quantile(result.seconds, 0.5))} / ${num(quantile(result.seconds, 0.95))}`;
  const wrong = num(share(result.wrong, result.n));
  say(
    `${name.padEnd(34)}${cell(hz, 3)} Hz${cell(times, 14)}${cell(wrong)}${cell(num(share(result.wrong3, result.n)))}${cell(num(share(result.none, result.n)))}  ${per(ROOM_NAMES)}  ${per(TYPES)}`,
  );
}

function head(title: string): void {
  say(`\n${title}`);
  say(
    `${'rule'.padEnd(40)}${cell('med/p95 s', 14)}${cell('>1 d %')}${cell('>3 d %')}${cell('none %')}  >1 d % quiet/normal/draughty,   A/B/D`,
  );
}

function captureTables(): void {
  const made = traces(COUNT, SEED, { types: TYPES, rates: [5, 10], gap: 10 });
  head(`Capture, first answer (seed ${SEED}, ${COUNT} pours, types ${TYPES.join(' ')})`);
  const rules = [
    equalReadings(3),
    equalReadings(5),
    equalReadings(10),
    withinOneStep(1, 0.01),
    withinOneStep(2, 0.01),
  ];
  for (const hz of [5, 10]) {
    for (const rule of rules)
      for (const clears of [false, true])
        row(`${rule.name}, ${clears ? 'cleared' : 'rolling'}`, hz, score(made, byRule(rule, hz, clears)));
    for (const use of ['cleared', 'hands-free'] as const)
      row(`settling, provisional, ${use}`, hz, score(made, byFirst(hz, use)));
  }
  for (const gap of [4, 6, 10]) confirmedTable(gap);
}

/** The gap that the bars are for: of so many pours that a share of the draughty ones is known to half a per cent. */
const BAR_GAP = 6;
const MORE_POURS = 4;

function confirmedTable(gap: number): void {
  const seed = SEED + gap;
  const pours = gap === BAR_GAP ? MORE_POURS * COUNT : COUNT;
  const made = traces(pours, seed, { types: TYPES, rates: [5, 10], gap });
  head(`Confirmed by watching, ${gap} s to the next pour (seed ${seed}, ${pours} pours)`);
  for (const hz of [5, 10])
    for (const use of ['cleared', 'hands-free'] satisfies Use[])
      row(`settling, confirmed, ${use}`, hz, score(made, byConfirmed(hz, use)));
  if (gap === BAR_GAP) row('gross before an unannounced onset', 10, score(made, byOnset(10)));
}

function otherTables(): void {
  const seed = SEED + 50;
  const fine = traces(Math.ceil(COUNT / 3), seed, { types: ['C'], rates: [10], gap: 6 });
  head(`0.001 g, 6 s (seed ${seed})`);
  row('5 equal, cleared', 10, score(fine, byRule(equalReadings(5), 10, true)));
  row('settling, confirmed, hands-free', 10, score(fine, byConfirmed(10, 'hands-free')));
  const late = traces(COUNT, seed + 1, { types: TYPES, rates: [10], gap: 6, flags: true, jitter: 120 });
  head(`With the balance's own flag and lines up to 120 ms late, 6 s (seed ${seed + 1})`);
  row('settling, provisional, hands-free', 10, score(late, byFirst(10, 'hands-free')));
  row('settling, confirmed, hands-free', 10, score(late, byConfirmed(10, 'hands-free')));
}

const MIX = ['quiet', 'quiet', 'normal', 'normal', 'draughty'] as const;

interface Counted {
  readonly steps: number;
  readonly rise: number;
  readonly stated: number;
}

function counted(one: Trace, mean: number, n: number): Counted {
  let state: SettlingState = unsettled;
  const all = (one.readings.get(10) ?? []).filter((reading) => reading.at < one.next);
  const base = Number(all.findLast((reading) => reading.at < (one.drops[0]?.at ?? 0))?.g ?? 0);
  let steps = countFrom(base / one.d);
  for (const reading of all) {
    state = settle(state, reading);
    if (reading.at >= (one.drops[0]?.at ?? 0))
      steps = countReading(steps, Number(reading.g) / one.d, mean / one.d);
  }
  const rise = Number(state.told?.settled.g ?? base) - base;
  const size = { mean, u: 0.05 * mean };
  const truth = one.drops.reduce((sum, drop) => sum + drop.g, 0) / n;
  const stated = rise > 0 ? learnDrop(rise, n, one.d).mean / truth - 1 : -1;
  return { steps: steps.count, rise: Math.round(countByRise(rise, size, one.d).drops), stated };
}

function dropTable(): void {
  const seed = SEED + 100;
  const random = seeded(seed);
  const tries = Math.max(30, Math.round(COUNT / 12));
  say(`\nDrops counted, ${tries} pours each, 10 Hz, 0.9 s between drops, mixed rooms (seed ${seed})`);
  say(
    'exact %, within one %; steps: mass of a drop known within 15 %; rise: the same mass; stated: rms error of the',
  );
  say('drop learnt from a count that the person types, %');
  for (const type of TYPES)
    for (const drop of [0.015, 0.028, 0.048]) {
      const cells = [5, 10, 20].map((n) => dropCell(type, drop, n, tries, random));
      say(`${type} ${num(1000 * drop, 0)} mg  ${cells.join('   ')}`);
    }
}

function dropCell(type: TypeName, drop: number, n: number, tries: number, random: () => number): string {
  const sums = { steps: 0, steps1: 0, rise: 0, rise1: 0, square: 0 };
  for (let k = 0; k < tries; k++) {
    const room = MIX[Math.floor(random() * MIX.length)] ?? 'normal';
    const seed = Math.floor(random() * 2 ** 31);
    const made = trace({ type, room, drops: n, drop, every: 0.9, gap: 6, rates: [10], seed });
    const got = counted(made, drop, n);
    if (got.steps === n) sums.steps++;
    if (Math.abs(got.steps - n) <= 1) sums.steps1++;
    if (got.rise === n) sums.rise++;
    if (Math.abs(got.rise - n) <= 1) sums.rise1++;
    sums.square += got.stated ** 2;
  }
  const per = (count: number): string => num(share(count, tries), 0);
  return `${n}: steps ${per(sums.steps)},${per(sums.steps1)} rise ${per(sums.rise)},${per(sums.rise1)} stated ${num(100 * Math.sqrt(sums.square / tries), 1)}`;
}

/** Time to the half of a step, s, as the simulated balances have it. */
const LAG: Readonly<Record<TypeName, number>> = { A: 0.33, B: 0.31, C: 0.48, D: 0.66 };

interface Foretold {
  readonly display: boolean;
  /** Right to a step, and inside its band; null where nothing was predicted and the display speaks. */
  readonly free: readonly [boolean, boolean] | null;
  readonly ladder: readonly [boolean, boolean] | null;
}

/** What is foretold at `ms` after the last drop; the ladder's drop is known within 7 %. */
function foretold(one: Trace, ms: number, error: number): Foretold {
  const all = (one.readings.get(10) ?? []).map(({ g, at }) => ({ c: Number(g) / one.d, g, at }));
  const seen = all.filter((reading) => reading.at <= one.last + ms).slice(-12);
  const mean = (one.truth - one.before) / one.drops.length;
  const base = Math.round((one.truth - (one.drops.at(-1)?.g ?? 0)) / one.d);
  const ladder = { base, drop: (mean / one.d) * (1 + error) };
  const told = (mark: ReturnType<typeof predict>): readonly [boolean, boolean] | null =>
    mark && [Math.abs(mark.g - one.truth) <= one.d, Math.abs(mark.g - one.truth) <= mark.band];
  return {
    display: Math.abs(Number(seen.at(-1)?.g) - one.truth) <= one.d,
    free: told(predict({ seen, d: one.d, lag: LAG[one.type] })),
    ladder: told(predict({ seen, d: one.d, lag: LAG[one.type], ladder })),
  };
}

function predictionTable(): void {
  const seed = SEED + 200;
  const random = seeded(seed);
  const tries = Math.round(COUNT / 4);
  say(`\nPrediction, ${tries} pours each, 28 mg, 10 Hz, quiet and normal rooms (seed ${seed})`);
  say(
    'share within 1 d of the end: display -> predicted without / with the ladder of drops; in brackets how often',
  );
  say('the band holds the end where a prediction is told');
  for (const type of TYPES) {
    const made = Array.from({ length: tries }, () => {
      const room = random() < 0.5 ? 'quiet' : 'normal';
      const drops = 1 + Math.floor(12 * random());
      const own = Math.floor(random() * 2 ** 31);
      return trace({ type, room, drops, drop: 0.028, every: 0.9, gap: 4, rates: [10], seed: own });
    });
    const cells = [300, 500, 700, 1000].map((ms) => {
      const all = made.map((one) => foretold(one, ms, 0.14 * (random() - 0.5)));
      const right = (of: 'free' | 'ladder'): string =>
        num(share(all.filter((one) => one[of]?.[0] ?? one.display).length, tries), 0);
      const told = (of: 'free' | 'ladder') =>
        all.flatMap((one) => one[of] ?? []).filter((_, n) => n % 2 === 1);
      const held = (of: 'free' | 'ladder'): string =>
        num(share(told(of).filter((inside) => inside).length, told(of).length), 0);
      const display = num(share(all.filter((one) => one.display).length, tries), 0);
      return `${ms / 1000} s: ${display} -> ${right('free')} / ${right('ladder')} (${held('free')} / ${held('ladder')})`;
    });
    say(`${type}  ${cells.join('   ')}`);
  }
}

function hands(hand: Hand, count: number, seed: number): (Outcome & { type: TypeName })[] {
  const random = seeded(seed);
  return Array.from({ length: count }, (_, n) => {
    const type = TYPES[n % TYPES.length] ?? 'A';
    const drop = [0.015, 0.028, 0.048][Math.floor(3 * random())] ?? 0.028;
    const room = random() < 0.5 ? 'quiet' : 'normal';
    const drops = 6 + Math.floor(15 * random());
    return { type, ...pour({ hand, type, room, drop, drops, hz: 10, seed: Math.floor(random() * 2 ** 31) }) };
  });
}

function handTable(): void {
  const seed = SEED + 300;
  const count = Math.max(1000, Math.round(COUNT / 2));
  say(
    `\nSimulated hands, ${count} pours each, 6 to 20 drops of 15, 28, 48 mg, reaction 250 ms (seed ${seed})`,
  );
  say(
    `${'hand'.padEnd(12)}${'type'.padEnd(6)}${cell('> 1 drop %', 12)}${cell('> 0.6 %', 10)}${cell('mean', 8)}${cell('mean |e|', 10)}${cell('s', 8)}`,
  );
  for (const hand of ['watching', 'slow', 'guided'] as const) {
    const all = hands(hand, count, seed);
    for (const type of ['all', ...TYPES]) {
      const some = all.filter((one) => type === 'all' || one.type === type);
      const mean = (of: (one: Outcome) => number): number =>
        some.reduce((sum, one) => sum + of(one), 0) / some.length;
      const over = (drops: number): string => num(100 * mean((one) => (one.error > drops ? 1 : 0)), 1);
      say(
        `${hand.padEnd(12)}${type.padEnd(6)}${cell(over(1), 12)}${cell(over(0.6), 10)}${cell(num(mean((one) => one.error)), 8)}${cell(num(mean((one) => Math.abs(one.error))), 10)}${cell(
          num(
            mean((one) => one.seconds),
            1,
          ),
          8,
        )}`,
      );
    }
  }
}

captureTables();
otherTables();
dropTable();
predictionTable();
handTable();
