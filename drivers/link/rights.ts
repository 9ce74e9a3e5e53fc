import { readFileSync, statSync } from 'node:fs';

/** What is read to explain missing rights; tests give their own. */
export interface RightsSource {
  readonly gidOf: (path: string) => number;
  /** Text of the group file: "name:x:gid:members" a line. */
  readonly groups: () => string;
  readonly user: () => string;
}

const SYSTEM: RightsSource = {
  gidOf: (path) => statSync(path).gid,
  groups: () => readFileSync('/etc/group', 'utf8'),
  user: () => process.env.USER ?? '$USER',
};

/** Why a port may not be opened, and the command that changes it. */
export interface RightsAdvice {
  readonly message: string;
  readonly next: string;
}

/** Names the group that owns a device node, and how to join it. */
export function explainRights(path: string, source: RightsSource = SYSTEM): RightsAdvice {
  const group = groupOf(path, source);
  const message = `No rights to open ${path}`;
  if (group === null)
    return {
      message: `${message}.`,
      next: `Look at its owner with "ls -l ${path}" and give your user the right to read and write it.`,
    };
  if (group === 'root')
    return {
      message: `${message}: it belongs to root alone.`,
      next: `Copy udev/70-balance.rules of this program to /etc/udev/rules.d and plug the balance in again, or set "sudo chmod a+rw ${path}" until it is unplugged.`,
    };
  return {
    message: `${message}: it belongs to the group "${group}", which you have not joined.`,
    next: `Run "sudo usermod -aG ${group} ${source.user()}", then log out and in again.`,
  };
}

function groupOf(path: string, source: RightsSource): string | null {
  try {
    const gid = String(source.gidOf(path));
    for (const line of source.groups().split('\n')) {
      const [name, , id] = line.split(':');
      if (id === gid && name !== undefined && name !== '') return name;
    }
    return `#${gid}`;
  } catch {
    /* The node or the group file cannot be read: the caller then shows how to look at the owner by hand. */
    return null;
  }
}
