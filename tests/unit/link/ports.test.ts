import { mkdirSync, mkdtempSync, rmSync, symlinkSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, describe, expect, it } from 'vitest';
import { listPorts, scanDevices } from '../../../drivers/link/ports.ts';

const folders: string[] = [];
afterEach(() => {
  for (const folder of folders.splice(0)) rmSync(folder, { recursive: true });
});

function devices(): string {
  const dev = mkdtempSync(join(tmpdir(), 'dev-'));
  folders.push(dev);
  for (const name of ['ttyUSB0', 'ttyUSB10', 'ttyACM0', 'ttyS0', 'null']) writeFileSync(join(dev, name), '');
  mkdirSync(join(dev, 'serial/by-id'), { recursive: true });
  symlinkSync('../../ttyUSB10', join(dev, 'serial/by-id/usb-adapter_A1-if00'));
  return dev;
}

describe('listing ports', () => {
  it('finds device names and gives the lasting name once', async () => {
    const dev = devices();
    expect((await scanDevices(dev)).map((port) => [port.path.slice(dev.length), port.label])).toEqual([
      ['/ttyACM0', 'ttyACM0'],
      ['/ttyUSB0', 'ttyUSB0'],
      ['/serial/by-id/usb-adapter_A1-if00', 'ttyUSB10'],
    ]);
  });

  it('reads vendor, product and serial number from the device tree where the system list cannot be had', async () => {
    const dev = devices();
    const sys = join(dev, 'sys');
    const device = join(sys, 'bus/1-2');
    mkdirSync(join(device, '1-2:1.0/ttyUSB0'), { recursive: true });
    for (const [name, text] of [
      ['idVendor', '0403\n'],
      ['idProduct', '6001\n'],
      ['serial', 'A1\n'],
      ['product', 'adapter\n'],
    ] as const)
      writeFileSync(join(device, name), text);
    mkdirSync(join(sys, 'ttyUSB0'));
    symlinkSync('../bus/1-2/1-2:1.0/ttyUSB0', join(sys, 'ttyUSB0/device'));
    const found = await scanDevices(dev, sys);
    expect(found.find((port) => port.label === 'ttyUSB0')).toEqual({
      path: join(dev, 'ttyUSB0'),
      label: 'ttyUSB0',
      detail: 'adapter 0403:6001 A1',
      vendorId: '0403',
      productId: '6001',
      serialNumber: 'A1',
    });
    expect(found.find((port) => port.label === 'ttyACM0')?.vendorId).toBeUndefined();
  });

  it('is empty where there is no such folder', async () => {
    expect(await scanDevices(join(devices(), 'nowhere'))).toEqual([]);
  });

  it.runIf(process.platform === 'linux')('scans when the system list fails', async () => {
    const failing = async () => Promise.reject(new Error('spawn udevadm ENOENT'));
    expect(await listPorts(failing, devices())).toHaveLength(3);
  });

  it('takes vendor, product and serial number from the system list', async () => {
    const base = { manufacturer: 'x', pnpId: undefined, locationId: undefined };
    const ports = await listPorts(async () => [
      { ...base, path: '/dev/ttyUSB0', vendorId: '0403', productId: '6001', serialNumber: 'A1' },
      { ...base, path: '/dev/ttyS0', vendorId: undefined, productId: undefined, serialNumber: undefined },
    ]);
    expect(ports).toEqual([
      {
        path: '/dev/ttyUSB0',
        label: 'ttyUSB0',
        detail: 'x 0403:6001 A1',
        vendorId: '0403',
        productId: '6001',
        serialNumber: 'A1',
      },
    ]);
  });
});
