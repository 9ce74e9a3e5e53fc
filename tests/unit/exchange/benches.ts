import { afterEach, beforeEach } from 'vitest';
import { openStore, type Store } from '../../../electron/host/store/store.ts';
import { testFolder } from '../store/given.ts';

/** Two workshops in folders of their own, new for each test: `there` hands out, `here` takes in. */
export let here: Store;
export let there: Store;
let folders: readonly ReturnType<typeof testFolder>[] = [];

const opened = (at: number): Store => openStore(folders[at]?.path ?? '');

/** Has them opened before each test of the file, and put away after it. */
export function twoBenches(): void {
  beforeEach(() => {
    folders = [testFolder(), testFolder()];
    here = opened(0);
    there = opened(1);
  });
  afterEach(() => {
    here.close();
    there.close();
    for (const folder of folders) folder.remove();
  });
}

/** Closes `here` and opens it again. */
export function restartHere(): void {
  here.close();
  here = opened(0);
}
