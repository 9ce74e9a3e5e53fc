import { askReply } from './host.ts';
import { fragmentOf } from './route.ts';
import { putAway, tell } from './troubles.ts';

const SOURCE = 'scan';

/**
 * Opens what a scanned code names, a lot or a record, through `go`, which goes to an address of this window. A code that
 * names nothing here is told, unless `quiet`. @returns whether it named something
 */
export async function openScanned(
  text: string,
  go: (address: string) => void,
  quiet = false,
): Promise<boolean> {
  const reply = await askReply('codes.read', { text });
  if (!reply.ok) {
    tell(SOURCE, reply.trouble);
    return false;
  }
  const read = reply.value;
  putAway(SOURCE);
  if (read.kind === 'lot') go(fragmentOf('organ', `lot:${read.code}`));
  else if (read.kind === 'record') {
    go(fragmentOf('records', read.batch));
    if (!read.unchanged)
      tell(SOURCE, {
        what: 'The record has gone on since this document was printed.',
        where: null,
        next: 'Its last hash is another now: see what was amended, or print it again.',
      });
  } else if (!quiet) tell(SOURCE, { what: read.what, where: null, next: read.next });
  return read.kind !== 'unknown';
}

/** Tells that a scan broke off: nothing is taken from it. */
export function tellTorn(code: string): void {
  tell(SOURCE, { what: `The code was cut short: ${code}`, where: null, next: 'Scan it again.' });
}
