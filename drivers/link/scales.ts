import { SCALE_USAGE, SCALE_USAGE_PAGE } from '../frames/scale-report.ts';
import { LinkTrouble } from './balance.ts';

/** A USB scale as the system lists it. */
export interface ScaleInfo {
  readonly path: string;
  readonly label: string;
  readonly detail: string;
  readonly vendorId: number;
  readonly productId: number;
  readonly serialNumber: string;
}

/** What is used of the library node-hid; tests give their own. */
export interface HidLibrary {
  devicesAsync(): Promise<readonly HidListed[]>;
  open(path: string): Promise<HidDevice>;
}
export interface HidListed {
  readonly path?: string | undefined;
  readonly vendorId: number;
  readonly productId: number;
  readonly serialNumber?: string | undefined;
  readonly manufacturer?: string | undefined;
  readonly product?: string | undefined;
  readonly usagePage?: number | undefined;
  readonly usage?: number | undefined;
}
export interface HidDevice {
  on(event: 'data', listener: (report: Uint8Array) => void): unknown;
  on(event: 'error', listener: (error: Error) => void): unknown;
  close(): Promise<void>;
}

/**
 * Loads node-hid, only when a USB scale is asked for.
 * @throws LinkTrouble "unsupported" where it is not installed or has no binary for this system
 */
export async function loadHid(): Promise<HidLibrary> {
  try {
    const library = await import('node-hid');
    /* Asking its version loads the binary, which is when a missing system library shows. */
    library.getHidapiVersion();
    return {
      devicesAsync: () => library.devicesAsync(),
      open: (path) => library.HIDAsync.open(path),
    };
  } catch (error) {
    const why = error instanceof Error ? error.message : String(error);
    throw new LinkTrouble(
      'unsupported',
      `USB scales cannot be read here: ${why}.`,
      `${process.platform} ${process.arch}`,
      why.includes('libusb')
        ? 'Install the system library libusb-1.0 (package libusb-1.0-0), or type the figures of the scale.'
        : 'Install the optional package with "npm i node-hid", or type the figures of the scale.',
      error,
    );
  }
}

/** USB scales of this machine, by the usage that the USB HID tables give to weighing devices. @throws LinkTrouble */
export async function listScales(library?: HidLibrary): Promise<ScaleInfo[]> {
  const hid = library ?? (await loadHid());
  const found: ScaleInfo[] = [];
  for (const one of await hid.devicesAsync()) {
    if (one.path === undefined || one.usagePage !== SCALE_USAGE_PAGE || one.usage !== SCALE_USAGE) continue;
    const numbers = [one.vendorId, one.productId].map((number) => number.toString(16).padStart(4, '0'));
    found.push({
      path: one.path,
      label: one.product ?? 'USB scale',
      detail: [one.manufacturer, numbers.join(':'), one.serialNumber].filter(Boolean).join(' '),
      vendorId: one.vendorId,
      productId: one.productId,
      serialNumber: one.serialNumber ?? '',
    });
  }
  return found;
}
