import { COURSE } from '../../core/practice/course.ts';
import { CHARACTERS, type CharacterName } from './characters.ts';
import { live } from './learners.ts';

/**
 * Scripted learners through every lesson on the simulated balance and a stepped clock: mean score of each, and how often
 * the careful one stands highest and the hasty one lowest, as a teacher would have it.
 * `node tests/bench/practice.ts 100 1` takes 100 seeds from 1.
 */
const seeds = Number(process.argv[2] ?? 100);
const first = Number(process.argv[3] ?? 1);
const names = Object.keys(CHARACTERS) as CharacterName[];

const mean = (all: readonly number[]): number => all.reduce((sum, one) => sum + one, 0) / all.length;
const cell = (text: string): string => text.padStart(18);

console.log(`Scripted learners, ${seeds} seeds from ${first}: mean score of 100 (least)`);
console.log(`${'lesson'.padEnd(17)}${names.map(cell).join('')}${cell('careful highest')}`);
const whole = new Map<CharacterName, number[]>(names.map((name) => [name, []]));
for (const { id } of COURSE) {
  const lesson = COURSE.find((one) => one.id === id);
  if (lesson === undefined) continue;
  const scores = new Map<CharacterName, number[]>(names.map((name) => [name, []]));
  for (let seed = first; seed < first + seeds; seed += 1)
    for (const name of names) {
      const { score } = await live(lesson, name, seed);
      scores.get(name)?.push(score.score ?? 0);
    }
  const careful = scores.get('careful') ?? [];
  const highest = careful.filter((one, i) =>
    names.every((name) => (scores.get(name)?.[i] ?? 0) <= one),
  ).length;
  console.log(
    `${id.padEnd(17)}${names
      .map((name) => {
        const own = scores.get(name) ?? [];
        return cell(`${mean(own).toFixed(1)} (${Math.min(...own)})`);
      })
      .join('')}${cell(`${highest} of ${seeds}`)}`,
  );
  for (const name of names)
    for (const [i, one] of (scores.get(name) ?? []).entries()) {
      const sums = whole.get(name) ?? [];
      sums[i] = (sums[i] ?? 0) + one / COURSE.length;
    }
}
const rows = Array.from({ length: seeds }, (_, i) =>
  names.map((name) => ({ name, score: whole.get(name)?.[i] ?? 0 })).sort((a, b) => b.score - a.score),
);
const top = rows.filter((row) => row[0]?.name === 'careful').length;
const last = rows.filter((row) => row.at(-1)?.name === 'hasty').length;
console.log(
  `${'whole course'.padEnd(17)}${names.map((name) => cell(mean(whole.get(name) ?? []).toFixed(1))).join('')}`,
);
console.log(`Over the course: careful first in ${top} of ${seeds}, hasty last in ${last} of ${seeds}.`);
