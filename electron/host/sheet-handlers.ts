import { randomUUID } from 'node:crypto';
import { writeWhole } from './documents/export.ts';
import { pourSheet } from './documents/pour-sheet.ts';
import { draw } from './planning.ts';
import { placeOf, type Rooms } from './rooms.ts';
import type { Input } from './table.ts';
import { HostTrouble } from './trouble.ts';
import { takeSheet } from './typed-sheet.ts';

/** Answers to the calls of table-sheet.ts. */
export function sheetHandlers(rooms: Rooms) {
  const { store, capabilities } = rooms;
  const sheetOf = (draft: Input<'pour.sheet'>) => {
    const place = placeOf(rooms);
    return pourSheet(draw(draft, place), place.limits.d);
  };
  return {
    'pour.sheet': sheetOf,
    'pour.sheet-save': async (draft: Input<'pour.sheet-save'>) => {
      if (capabilities.saveDialog === null)
        throw new HostTrouble('This window has no file dialog.', 'Pour', 'Let the browser save the file.');
      const { name, html } = sheetOf(draft);
      const path = await capabilities.saveDialog(`${name}.html`);
      if (path !== null) writeWhole(path, html);
      return { path };
    },
    'pour.typed-in': (input: Input<'pour.typed-in'>) => ({
      batch: takeSheet(store.journal, input, placeOf(rooms), { id: randomUUID(), at: Date.now() }),
    }),
  };
}
