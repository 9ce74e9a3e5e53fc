/**
 * Loaded before the program (`--import`), it lets the program's clock and timers run `POURWRIGHT_PACE` times as fast:
 * the simulated balance settles sooner, and a test waits less. Nothing of the program knows of it.
 */
const pace = Number(process.env.POURWRIGHT_PACE ?? '1');
const began = Date.now();
const Real = Date;
const wall = Date.now;
const steady = performance.now.bind(performance);
const fast = (): number => Math.round(began + (wall() - began) * pace);

globalThis.Date = new Proxy(Real, {
  construct: (real, given: unknown[], as) =>
    Reflect.construct(real, given.length === 0 ? [fast()] : given, as),
  get: (real, name) => (name === 'now' ? fast : Reflect.get(real, name)),
});
performance.now = () => steady() * pace;

const { setTimeout: later, setInterval: each } = globalThis;
globalThis.setTimeout = Object.assign(
  (act: (...given: unknown[]) => void, ms = 0, ...given: unknown[]) => later(act, ms / pace, ...given),
  later,
);
globalThis.setInterval = Object.assign(
  (act: (...given: unknown[]) => void, ms = 0, ...given: unknown[]) => each(act, ms / pace, ...given),
  each,
);
