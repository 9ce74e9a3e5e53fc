import { readFileSync } from 'node:fs';
import { WrongInput } from './wrong-input.ts';

const NEXT: Readonly<Record<string, string>> = {
  ENOENT: 'Check the name of the file and the folder you are in.',
  EACCES: 'Give yourself the right to read it.',
  EISDIR: 'Name the file in it.',
};

const codeOf = (cause: unknown): string =>
  cause instanceof Error && 'code' in cause ? String(cause.code) : '';

/** Text of a file. @throws WrongInput when it cannot be read */
export function readText(file: string): string {
  try {
    return readFileSync(file, 'utf8');
  } catch (cause) {
    const code = codeOf(cause);
    throw new WrongInput(
      code === 'ENOENT' ? 'There is no such file.' : `The file cannot be read: ${String(cause)}.`,
      file,
      NEXT[code] ?? 'Check the file and its disk.',
      cause,
    );
  }
}

/** The parsed JSON of a file. @throws WrongInput when it cannot be read or is not JSON */
export function readJson(file: string): unknown {
  const text = readText(file);
  try {
    return JSON.parse(text);
  } catch (cause) {
    const why = cause instanceof Error ? cause.message : String(cause);
    throw new WrongInput(
      `The file is not JSON: ${why}.`,
      file,
      'Correct it in an editor that checks JSON.',
      cause,
    );
  }
}
