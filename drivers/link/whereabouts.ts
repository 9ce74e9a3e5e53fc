import { LinkTrouble } from './balance.ts';

/** By what a device is known again, whichever socket it is plugged into. Hexadecimal ids as the system writes them. */
export interface DeviceIds {
  readonly vendorId: string;
  readonly productId: string;
  readonly serialNumber?: string | undefined;
}

/** A device as listed now. */
export interface Placed {
  readonly path: string;
  readonly vendorId?: string | undefined;
  readonly productId?: string | undefined;
  readonly serialNumber?: string | undefined;
}

const same = (a: string | undefined, b: string | undefined): boolean =>
  (a ?? '').toLowerCase() === (b ?? '').toLowerCase();

/**
 * Where a remembered device is plugged in now: by vendor, product and serial number, the path last. Of several that
 * are alike and have no serial number, the one at the remembered path is taken.
 * @param device null where the system told no ids when it was chosen; it is then known by its path alone
 * @throws LinkTrouble "unknown-port" when it is not plugged in, or several are alike and none is at its path
 */
export function whereNow(device: DeviceIds | null, path: string, listed: readonly Placed[]): string {
  if (device === null) return path;
  const alike = listed.filter(
    (one) =>
      same(one.vendorId, device.vendorId) &&
      same(one.productId, device.productId) &&
      same(one.serialNumber, device.serialNumber),
  );
  const there = alike.find((one) => one.path === path);
  const [only] = alike;
  if (there !== undefined || (only !== undefined && alike.length === 1)) return (there ?? only)?.path ?? path;
  const name = `${device.vendorId}:${device.productId}${device.serialNumber ? ` ${device.serialNumber}` : ''}`;
  if (alike.length > 1)
    throw new LinkTrouble(
      'unknown-port',
      `${alike.length} devices are ${name}, and none of them is at ${path}.`,
      path,
      'They carry no serial number to tell them apart: choose the port on the Balance screen.',
    );
  throw new LinkTrouble(
    'unknown-port',
    `The balance ${name} is not plugged in.`,
    path,
    'Plug it in, at whichever socket; it is then taken up by itself.',
  );
}
