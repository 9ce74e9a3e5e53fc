import { readFile, realpath } from 'node:fs/promises';
import { dirname, join } from 'node:path';

/** What a USB device says of itself, as Linux shows it in its device tree. */
export interface UsbIds {
  readonly vendorId: string;
  readonly productId: string;
  readonly serialNumber?: string;
  readonly maker?: string;
  readonly product?: string;
}

/** An interface lies one to three folders below its device. */
const HIGHEST = 4;

async function textOf(file: string): Promise<string | null> {
  try {
    const text = (await readFile(file, 'utf8')).trim();
    return text === '' ? null : text;
  } catch (error) {
    /* An attribute that the device does not have is no file. */
    if (error instanceof Error && 'code' in error && (error.code === 'ENOENT' || error.code === 'ENOTDIR'))
      return null;
    throw error;
  }
}

/** Vendor, product and serial number of the device behind a terminal ("ttyUSB0"); null where it is no USB device. */
export async function usbIdsOf(terminal: string, sys = '/sys/class/tty'): Promise<UsbIds | null> {
  let folder = await realpath(join(sys, terminal, 'device')).catch(() => null);
  for (let n = 0; folder !== null && n < HIGHEST; n += 1) {
    const [vendorId, productId] = await Promise.all(
      ['idVendor', 'idProduct'].map((name) => textOf(join(folder ?? '', name))),
    );
    if (vendorId != null && productId != null) {
      const [serialNumber, maker, product] = await Promise.all(
        ['serial', 'manufacturer', 'product'].map((name) => textOf(join(folder ?? '', name))),
      );
      return {
        vendorId,
        productId,
        ...(serialNumber == null ? {} : { serialNumber }),
        ...(maker == null ? {} : { maker }),
        ...(product == null ? {} : { product }),
      };
    }
    folder = dirname(folder);
  }
  return null;
}
