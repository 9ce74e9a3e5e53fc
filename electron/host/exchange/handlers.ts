import { writeWhole } from '../documents/export.ts';
import type { Rooms } from '../rooms.ts';
import type { Input } from '../table.ts';
import { HostTrouble } from '../trouble.ts';
import { openArchive } from './archive.ts';
import { archiveView, compared } from './comparing.ts';
import { loadDemo, startEmpty, workshopState } from './first-run.ts';
import { handedOut } from './hand-out.ts';
import { looksLikeJson, openHandedJson } from './handed-json.ts';
import { readList } from './list.ts';
import { mergeArchive } from './merging.ts';
import { hereOf, takeList } from './taking.ts';

const now = (): string => new Date().toISOString();

function handOutHandlers({ store, files, capabilities }: Rooms) {
  const opened = (file: string) => {
    const { name, bytes } = files.whole(file);
    const archive = looksLikeJson(bytes)
      ? openHandedJson(bytes, name, store, now())
      : openArchive(bytes, name);
    return { name, archive };
  };
  return {
    'hand-out.document': (ask: Input<'hand-out.document'>) => {
      const { name, type, bytes } = handedOut(store, ask, now());
      return { name, type, base64: Buffer.from(bytes).toString('base64') };
    },
    'hand-out.save': async (ask: Input<'hand-out.save'>) => {
      if (capabilities.saveDialog === null)
        throw new HostTrouble('This window has no file dialog.', 'Organ', 'Let the browser save the file.');
      const { name, bytes } = handedOut(store, ask, now());
      const path = await capabilities.saveDialog(name);
      if (path !== null) writeWhole(path, bytes);
      return { path };
    },
    'archive.read': ({ file }: Input<'archive.read'>) => {
      const { name, archive } = opened(file);
      return { name, ...archiveView(archive, compared(archive, store)) };
    },
    'archive.take': ({ file, choices }: Input<'archive.take'>) => ({
      done: mergeArchive(store, opened(file).archive, choices, now()),
    }),
  };
}

/** Answers the calls about bringing lists in and handing them out. */
export function exchangeHandlers(rooms: Rooms) {
  const { store, balances, files } = rooms;
  return {
    ...handOutHandlers(rooms),
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
