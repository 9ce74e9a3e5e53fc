import { randomBytes } from 'node:crypto';

/** A PDF that a window may open. */
export interface Paper {
  readonly name: string;
  readonly bytes: Uint8Array;
}

/** PDFs waiting to be opened in a tab, each under an address that nobody guesses. */
export interface Papers {
  show(paper: Paper): Promise<{ readonly address: string; readonly told: string }>;
  /** The PDF of a path; undefined where there is none. */
  get(path: string): Paper | undefined;
}

/** The last of so many are kept: a tab that is loaded again finds its PDF. */
const KEPT = 8;

/** Keeps the last PDFs in memory for the windows of one program. */
export function createPapers(): Papers {
  const kept = new Map<string, Paper>();
  return {
    show: async ({ name, bytes }) => {
      const address = `/papers/${randomBytes(24).toString('base64url')}.pdf`;
      kept.set(address, { name, bytes });
      for (const old of [...kept.keys()].slice(0, -KEPT)) kept.delete(old);
      return { address, told: `${name} opens in a tab of its own: print it from there, at 100 %.` };
    },
    get: (path) => kept.get(path),
  };
}
