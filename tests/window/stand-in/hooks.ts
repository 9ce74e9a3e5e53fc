import { registerHooks } from 'node:module';

/** Loaded before the built program: its `electron` is the stand-in. */
const STAND_IN = new URL('./electron.ts', import.meta.url).href;

registerHooks({
  resolve: (specifier, context, next) =>
    specifier === 'electron' ? { url: STAND_IN, shortCircuit: true } : next(specifier, context),
});
