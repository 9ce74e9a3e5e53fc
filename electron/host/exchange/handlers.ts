import type { Rooms } from '../rooms.ts';
import type { Input } from '../table.ts';
import { loadDemo, startEmpty, workshopState } from './first-run.ts';
import { readList } from './list.ts';
import { hereOf, takeList } from './taking.ts';

const now = (): string => new Date().toISOString();

/** Answers the calls about bringing lists in and handing them out. */
export function exchangeHandlers({ store, balances, files }: Rooms) {
  return {
    'workshop.state': () => workshopState(store),
    'workshop.demo': async () => {
      loadDemo(store, now());
      await balances.choose({ kind: 'simulated' });
      return workshopState(store);
    },
    'workshop.start-empty': () => {
      startEmpty(store);
      return workshopState(store);
    },
    'files.begin': ({ name, size }: Input<'files.begin'>) => ({ file: files.begin(name, size) }),
    'files.part': ({ file, base64 }: Input<'files.part'>) => ({
      have: files.add(file, Buffer.from(base64, 'base64')),
    }),
    'bring-in.read': (ask: Input<'bring-in.read'>) =>
      readList(files.whole(ask.file), ask, hereOf(store)).view,
    'bring-in.take': (ask: Input<'bring-in.take'>) => takeList(store, files.whole(ask.file), ask, now()),
  };
}
