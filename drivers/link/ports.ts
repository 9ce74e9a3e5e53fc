import { readdir, realpath } from 'node:fs/promises';
import { basename, join } from 'node:path';
import { SerialPort } from 'serialport';
import { usbIdsOf } from './usb-ids.ts';

/** A serial port of this machine. */
export interface PortInfo {
  /** Path to open; a name under by-id where there is one, because it survives replugging. */
  readonly path: string;
  /** Short name for a list. */
  readonly label: string;
  /** Maker's text, vendor, product and serial number as far as the system tells. */
  readonly detail: string;
  readonly vendorId?: string;
  readonly productId?: string;
  readonly serialNumber?: string;
}

type Listed = Awaited<ReturnType<typeof SerialPort.list>>[number];

/**
 * Ports of this machine. Where the system's own list cannot be had (Linux without udevadm), the device folders
 * are read instead.
 */
export async function listPorts(
  list: () => Promise<readonly Listed[]> = () => SerialPort.list(),
  dev = '/dev',
): Promise<PortInfo[]> {
  let listed: readonly Listed[];
  try {
    listed = await list();
  } catch (error) {
    if (process.platform !== 'linux') throw error;
    return scanDevices(dev);
  }
  return listed
    .filter((port) => port.vendorId !== undefined || !/\/ttyS\d+$/.test(port.path))
    .map((port) => ({
      path: port.path,
      label: basename(port.path),
      detail: [
        port.manufacturer,
        port.vendorId === undefined ? undefined : `${port.vendorId}:${port.productId ?? '?'}`,
        port.serialNumber,
      ]
        .filter((part) => part !== undefined)
        .join(' '),
      ...(port.vendorId === undefined ? {} : { vendorId: port.vendorId }),
      ...(port.productId === undefined ? {} : { productId: port.productId }),
      ...(port.serialNumber === undefined ? {} : { serialNumber: port.serialNumber }),
    }));
}

/**
 * Reads `dev`/serial/by-id and the usual device names, and the ids of their devices from `sys`. A port that stands in
 * both is given once, by its id.
 */
export async function scanDevices(dev: string, sys?: string): Promise<PortInfo[]> {
  const found = new Map<string, PortInfo>();
  const byId = join(dev, 'serial/by-id');
  for (const name of await namesIn(byId)) {
    const path = join(byId, name);
    const target = await realpath(path).catch(() => path);
    found.set(target, await scanned(path, basename(target), name, sys));
  }
  for (const name of await namesIn(dev)) {
    const path = join(dev, name);
    if (/^(ttyUSB|ttyACM)\d+$/.test(name) && !found.has(path))
      found.set(path, await scanned(path, name, '', sys));
  }
  return [...found.values()].sort((a, b) => a.label.localeCompare(b.label, 'en', { numeric: true }));
}

async function scanned(path: string, label: string, byId: string, sys?: string): Promise<PortInfo> {
  const ids = await usbIdsOf(label, sys);
  if (ids === null) return { path, label, detail: byId };
  const { vendorId, productId, serialNumber, maker, product } = ids;
  return {
    path,
    label,
    detail: [maker, product, `${vendorId}:${productId}`, serialNumber]
      .filter((part) => part !== undefined)
      .join(' '),
    vendorId,
    productId,
    ...(serialNumber === undefined ? {} : { serialNumber }),
  };
}

async function namesIn(folder: string): Promise<string[]> {
  try {
    return await readdir(folder);
  } catch (error) {
    if (error instanceof Error && 'code' in error && error.code === 'ENOENT') return [];
    throw error;
  }
}
