import { PAGE, SCHEME } from './channels.ts';

/** A frame as far as a sender is judged by it. */
export interface Sender {
  readonly url: string;
  readonly parent: unknown;
}

/** Whether `url` is the window's own page. */
export function isOwnPage(url: string): boolean {
  if (!URL.canParse(url)) return false;
  const { protocol, host, username, password } = new URL(url);
  return protocol === `${SCHEME}:` && host === new URL(PAGE).host && username === '' && password === '';
}

/** Whether a message comes from the window's own page, and from its top frame. */
export function isOwnSender(frame: Sender | null): boolean {
  return frame !== null && frame.parent === null && isOwnPage(frame.url);
}

/**
 * The data folder named on the command line by `--data=DIR`; null where none is. Other switches are the runtime's own.
 */
export function dataOption(argv: readonly string[]): string | null {
  const given = argv.find((argument) => argument.startsWith('--data='))?.slice('--data='.length);
  return given === undefined || given === '' ? null : given;
}
