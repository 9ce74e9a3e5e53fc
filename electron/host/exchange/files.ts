import { randomUUID } from 'node:crypto';
import { HostTrouble } from '../trouble.ts';

/** More than this is no list and no archive of a workshop; bytes. */
export const FILE_LIMIT = 512 * 2 ** 20;
/** So many files are kept at once; the oldest is forgotten for another. */
const KEPT = 4;

export interface GivenFile {
  readonly name: string;
  readonly bytes: Uint8Array;
}

interface Coming {
  readonly name: string;
  readonly bytes: Uint8Array;
  have: number;
}

/**
 * Files on their way from a window, in parts that fit its messages. They are kept in memory until they are read, and
 * never touch the disk.
 */
export class Files {
  readonly #coming = new Map<string, Coming>();

  /** Announces a file of so many bytes. @returns the name that its parts carry. @throws HostTrouble when it is too large */
  begin(name: string, size: number): string {
    if (size > FILE_LIMIT)
      throw new HostTrouble(
        `The file is larger than ${FILE_LIMIT / 2 ** 20} MiB.`,
        name,
        'Bring in a smaller one, or restore a backup.',
      );
    const id = randomUUID();
    this.#coming.set(id, { name, bytes: new Uint8Array(size), have: 0 });
    for (const old of [...this.#coming.keys()].slice(0, -KEPT)) this.#coming.delete(old);
    return id;
  }

  /** Adds the next part. @returns how many bytes are there. @throws HostTrouble when it does not fit */
  add(id: string, part: Uint8Array): number {
    const file = this.#at(id);
    if (file.have + part.length > file.bytes.length)
      throw new HostTrouble('More came than the file was said to hold.', file.name, 'Open the file again.');
    file.bytes.set(part, file.have);
    file.have += part.length;
    return file.have;
  }

  /** The whole file. @throws HostTrouble when it is not all there */
  whole(id: string): GivenFile {
    const { name, bytes, have } = this.#at(id);
    if (have < bytes.length)
      throw new HostTrouble(`Only ${have} of ${bytes.length} bytes have come.`, name, 'Open the file again.');
    return { name, bytes };
  }

  #at(id: string): Coming {
    const file = this.#coming.get(id);
    if (file !== undefined) return file;
    throw new HostTrouble('The file is not here any more.', 'bring in', 'Open it, or paste the list, again.');
  }
}
