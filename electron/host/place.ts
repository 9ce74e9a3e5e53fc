import { homedir } from 'node:os';
import { posix, win32 } from 'node:path';

/**
 * The platform's own folder for this program's data; the same for every window, so that one can change between them.
 * Linux: `$XDG_DATA_HOME/pourwright` (a relative value is invalid by the XDG Base Directory Specification and is not
 * used), else `~/.local/share/pourwright`. macOS: `~/Library/Application Support/Pourwright`. Windows:
 * `%APPDATA%\Pourwright`, else `~\AppData\Roaming\Pourwright`.
 */
export function dataFolder(
  env: Readonly<Record<string, string | undefined>>,
  platform: string,
  home: string = homedir(),
): string {
  if (platform === 'win32') {
    const roaming = env.APPDATA;
    return roaming === undefined || roaming === ''
      ? win32.join(home, 'AppData', 'Roaming', 'Pourwright')
      : win32.join(roaming, 'Pourwright');
  }
  if (platform === 'darwin') return posix.join(home, 'Library', 'Application Support', 'Pourwright');
  const xdg = env.XDG_DATA_HOME;
  return xdg !== undefined && posix.isAbsolute(xdg)
    ? posix.join(xdg, 'pourwright')
    : posix.join(home, '.local', 'share', 'pourwright');
}
