import { LinkTrouble } from './balance.ts';
import { listPorts, type PortInfo } from './ports.ts';
import { explainRights } from './rights.ts';

/**
 * Names what a failed opening of a serial port means. The system tells it only by the text of its error.
 * @param ports lists what there is, for the advice
 */
export async function openingTrouble(
  path: string,
  error: Error,
  ports: () => Promise<readonly PortInfo[]> = listPorts,
): Promise<LinkTrouble> {
  const text = error.message;
  if (/no such file|file not found|ENOENT|no such device|ENODEV|ENXIO/i.test(text))
    return new LinkTrouble(
      'unknown-port',
      `There is no port ${path}.`,
      path,
      await whatThereIs(ports),
      error,
    );
  /* Windows says "access denied" of a port that another program holds open. */
  const held = process.platform === 'win32' && /access denied/i.test(text);
  if (!held && /permission denied|access denied|EACCES|EPERM|not permitted/i.test(text)) {
    const { message, next } = explainRights(path);
    return new LinkTrouble('no-rights', message, path, next, error);
  }
  if (held || /cannot lock|temporarily unavailable|busy|EBUSY|EAGAIN/i.test(text))
    return new LinkTrouble(
      'busy',
      `The port ${path} is in use by another program.`,
      path,
      'Close the other program that reads this balance; the port is then taken up by itself.',
      error,
    );
  return new LinkTrouble(
    'lost',
    `The port ${path} cannot be opened: ${text}.`,
    path,
    'Check the plug and the line settings; it is tried again by itself.',
    error,
  );
}

async function whatThereIs(ports: () => Promise<readonly PortInfo[]>): Promise<string> {
  let found: readonly PortInfo[];
  try {
    found = await ports();
  } catch (error) {
    return `Check the plug. The ports of this machine cannot be listed: ${error instanceof Error ? error.message : String(error)}.`;
  }
  if (found.length === 0)
    return 'No serial port is there. Plug the balance in, or choose the simulated balance.';
  return `Choose one of: ${found.map((port) => port.path).join(', ')}.`;
}
