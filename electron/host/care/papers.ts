import { careCsv, type ToldCheck } from '../documents/care-csv.ts';
import type { Document } from '../documents/document.ts';
import { writeWhole } from '../documents/export.ts';
import type { Rooms } from '../rooms.ts';
import type { Input } from '../table.ts';
import { HostTrouble } from '../trouble.ts';
import { readCheck } from './kept.ts';
import { TITLES } from './run-view.ts';
import { knownOf, lastCheckOf, originsOf } from './standing.ts';

/** Every check of the balance on this bench on paper, or with all its readings as a table. */
async function paperOf(rooms: Rooms, { kind, decimal = 'point' }: Input<'care.document'>): Promise<Document> {
  const known = knownOf(rooms);
  const printed = new Date().toISOString();
  const checks: ToldCheck[] = rooms.store.care.checks(known.identity.id).map((kept) => ({
    n: kept.n,
    at: kept.at,
    title: TITLES[kept.kind] ?? kept.kind,
    body: readCheck(kept),
  }));
  const name = `${printed.slice(0, 10)}-balance-checks`;
  if (kind === 'csv')
    return {
      name: `${name}.csv`,
      type: 'text/csv;charset=utf-8',
      bytes: new TextEncoder().encode(careCsv(checks.toReversed(), decimal)),
    };
  const { carePdf } = await import('../documents/care-pdf.ts');
  const bytes = await carePdf({
    name: known.name,
    knownBy: known.identity.text,
    profile: known.profile,
    limits: known.limits,
    from: originsOf(rooms, known),
    check: lastCheckOf(rooms, known, Date.parse(printed)),
    checks,
    printed,
  });
  return { name: `${name}.pdf`, type: 'application/pdf', bytes };
}

/** Answers the calls about what of the care of a balance can be handed over. */
export function careDocumentHandlers(rooms: Rooms) {
  const { saveDialog } = rooms.capabilities;
  return {
    'care.document': async (asked: Input<'care.document'>) => {
      const { name, type, bytes } = await paperOf(rooms, asked);
      return { name, type, base64: Buffer.from(bytes).toString('base64') };
    },
    'care.document-save': async (asked: Input<'care.document-save'>) => {
      if (saveDialog === null)
        throw new HostTrouble('This window has no file dialog.', 'Balance', 'Let the browser save the file.');
      const { name, bytes } = await paperOf(rooms, asked);
      const path = await saveDialog(name);
      if (path !== null) writeWhole(path, bytes);
      return { path };
    },
  };
}
