import type { Output } from '../../electron/host/table.ts';
import { ask } from './host.ts';

export type GivenFile = Output<'records.document'>;

/** How a file is had: its bytes for the browser, or written by the desktop where its dialog says. */
interface Ways {
  readonly file: () => Promise<GivenFile | null>;
  readonly save: () => Promise<{
    readonly path: string | null;
    readonly unshown?: readonly string[] | undefined;
  } | null>;
}

const unshownText = (letters: readonly string[] = []): string =>
  letters.length === 0
    ? ''
    : `. No font that this program carries has ${letters.join(' ')}: the document writes code points in their place, and says so.`;

/**
 * Gives a file out: by the desktop's own dialog where there is one, else through `download`, which hands it to the
 * browser. @returns where it went, in words; null when a trouble is shown
 */
export async function giveOut(ways: Ways, download: (file: GivenFile) => void): Promise<string | null> {
  const able = await ask('app.capabilities', {});
  if (able === null) return null;
  if (able.saveDialog) {
    const saved = await ways.save();
    if (saved === null) return null;
    if (saved.path === null) return 'Not written.';
    return `Written to ${saved.path}${unshownText(saved.unshown)}`;
  }
  const file = await ways.file();
  if (file === null) return null;
  download(file);
  return `Handed to the browser as ${file.name}${unshownText(file.unshown)}`;
}
