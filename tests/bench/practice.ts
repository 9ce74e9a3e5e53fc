import { COURSE } from '../../core/practice/course.ts';
import { PASS_MARK } from '../../core/practice/learner.ts';
import type { Lesson } from '../../core/practice/lesson.ts';
import { CHARACTERS, type CharacterName, FAULT_OF } from './characters.ts';
import { live } from './learners.ts';

/**
 * Scripted learners through every lesson on the simulated balance and a stepped clock: mean score of each (least), in how
 * many of the seeds nobody stood above the careful one, and in how many the one whose fault the lesson is about fell
 * short of the pass mark. `node tests/bench/practice.ts 100 1` takes 100 seeds from 1.
 */
const seeds = Number(process.argv[2] ?? 100);
const first = Number(process.argv[3] ?? 1);
const names = Object.keys(CHARACTERS) as CharacterName[];

/** Scores by seed, of each learner in one lesson. */
type Scores = Record<CharacterName, number[]>;

const mean = (all: readonly number[]): number => all.reduce((sum, one) => sum + one, 0) / all.length;
const cell = (text: string): string => text.padStart(18);

async function scoresIn(lesson: Lesson): Promise<Scores> {
  const scores = Object.fromEntries(names.map((name) => [name, []])) as unknown as Scores;
  for (let seed = first; seed < first + seeds; seed += 1)
    for (const name of names) scores[name].push((await live(lesson, name, seed)).score.score ?? 0);
  return scores;
}

function row(id: string, scores: Scores): string {
  const highest = scores.careful.filter((one, i) =>
    names.every((name) => (scores[name][i] ?? 0) <= one),
  ).length;
  const faults = FAULT_OF[id] ?? [];
  const held = scores.careful.filter((_, i) =>
    faults.every((name) => (scores[name][i] ?? 0) < PASS_MARK),
  ).length;
  const cells = names.map((name) => cell(`${mean(scores[name]).toFixed(1)} (${Math.min(...scores[name])})`));
  return `${id.padEnd(17)}${cells.join('')}${cell(`${highest} of ${seeds}`)}   ${held} of ${seeds}, ${faults.join(' and ')}`;
}

console.log(`Scripted learners, ${seeds} seeds from ${first}: mean score of 100 (least)`);
console.log(
  `${'lesson'.padEnd(17)}${names.map(cell).join('')}${cell('careful highest')}   does not pass: its own fault`,
);
const all: Scores[] = [];
for (const lesson of COURSE) {
  const scores = await scoresIn(lesson);
  console.log(row(lesson.id, scores));
  all.push(scores);
}
const whole = (name: CharacterName, i: number): number => mean(all.map((scores) => scores[name][i] ?? 0));
const ranks = Array.from({ length: seeds }, (_, i) => [...names].sort((a, b) => whole(b, i) - whole(a, i)));
const means = names.map((name) => cell(mean(ranks.map((_, i) => whole(name, i))).toFixed(1)));
console.log(`${'whole course'.padEnd(17)}${means.join('')}`);
const top = ranks.filter((rank) => rank[0] === 'careful').length;
const last = ranks.filter((rank) => rank.at(-1) === 'hasty').length;
console.log(`Over the course: careful first in ${top} of ${seeds}, hasty last in ${last} of ${seeds}.`);
