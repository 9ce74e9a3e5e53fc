const RUNS = 25;
/** Bar for what a person waits for, in ms. */
const BAR = 50;

/** Runs something many times and prints, in ms, the first run and then median and slowest of the others. */
export function measured(name: string, run: (i: number) => unknown): void {
  const times: number[] = [];
  for (let i = 0; i < RUNS; i += 1) {
    const start = performance.now();
    run(i);
    times.push(performance.now() - start);
  }
  const [first = Number.NaN, ...others] = times;
  others.sort((a, b) => a - b);
  const median = others[others.length >> 1] ?? Number.NaN;
  const slowest = others.at(-1) ?? Number.NaN;
  const text = `first ${first.toFixed(1)} ms, median ${median.toFixed(1)} ms, slowest ${slowest.toFixed(1)} ms`;
  console.log(`${name}: ${text} (bar ${BAR} ms${slowest <= BAR ? '' : ', MISSED'})`);
}
