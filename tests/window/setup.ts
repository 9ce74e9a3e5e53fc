import { buildAll, isStale } from '../../electron/build.ts';

/** Builds what the window tests open, when it is older than its sources. */
export default async function setup(): Promise<void> {
  if (isStale()) await buildAll();
}
