import { describe, expect, it, onTestFinished } from 'vitest';
import type { Observation } from '../../../core/weighing/reading.ts';
import { hidBalance } from '../../../drivers/link/hid.ts';
import { type HidDevice, type HidLibrary, listScales, loadHid } from '../../../drivers/link/scales.ts';
import type { Clocks } from '../../../drivers/link/wakeful.ts';

/** A stand-in for the library: one device whose reports and errors the test sends. */
function stand(failures = 0) {
  let fails = failures;
  let data = (_report: Uint8Array): void => {};
  let error = (_error: Error): void => {};
  let open = 0;
  const device: HidDevice = {
    on(event: 'data' | 'error', listener: never) {
      if (event === 'data') data = listener;
      else error = listener;
    },
    close: async () => {
      open -= 1;
    },
  };
  const library: HidLibrary = {
    devicesAsync: async () => [
      { path: '/dev/hidraw0', vendorId: 1, productId: 2, usagePage: 1, usage: 6, product: 'keyboard' },
      {
        path: '/dev/hidraw1',
        vendorId: 0xabc,
        productId: 2,
        usagePage: 0x8d,
        usage: 0x20,
        product: 'scale',
        serialNumber: 'S1',
      },
    ],
    open: async () => {
      if (fails-- > 0) throw new TypeError('cannot open device with path /dev/hidraw1');
      open += 1;
      return device;
    },
  };
  return {
    library,
    send: (hex: string) => data(Buffer.from(hex, 'hex')),
    fail: () => error(new Error('could not read from HID device')),
    isOpen: () => open,
  };
}

function started(library: HidLibrary, clocks?: Clocks) {
  const balance = hidBalance({
    path: '/dev/hidraw1',
    library,
    ...(clocks === undefined ? {} : { clocks }),
  });
  const all: Observation[] = [];
  balance.onObservation((one) => all.push(one));
  onTestFinished(() => balance.stop());
  balance.start();
  return { balance, all };
}

describe('a USB scale', () => {
  it('is listed by its usage, not by its maker', async () => {
    expect(await listScales(stand().library)).toEqual([
      {
        path: '/dev/hidraw1',
        label: 'scale',
        detail: '0abc:0002 S1',
        vendorId: 0xabc,
        productId: 2,
        serialNumber: 'S1',
      },
    ]);
  });

  it('is read, lost, and taken up again within 2 s', async () => {
    const { library, send, fail, isOpen } = stand();
    const { balance, all } = started(library);
    await expect.poll(isOpen).toBe(1);
    send('030402fed204');
    expect(all).toEqual([expect.objectContaining({ kind: 'weight', g: '12.34', stable: true })]);
    expect(balance.state).toMatchObject({ kind: 'live', shape: 'usb-scale-report' });
    send('04');
    expect(all.at(-1)).toMatchObject({ kind: 'refused' });
    fail();
    expect(balance.state).toMatchObject({ kind: 'lost', retrying: true });
    await expect.poll(isOpen, { timeout: 2000 }).toBe(1);
    send('030502fe0500');
    expect(all.at(-1)).toMatchObject({ kind: 'weight', g: '-0.05' });
    await balance.stop();
    expect(isOpen()).toBe(0);
  });

  it('says what to do without rights, and opens once they are there', async () => {
    const { library, isOpen } = stand(1);
    const { balance } = started(library);
    await expect
      .poll(() => balance.state)
      .toMatchObject({ kind: 'lost', why: expect.stringContaining('udev/70-balance.rules') });
    await expect.poll(isOpen, { timeout: 2000 }).toBe(1);
  });

  it('is opened anew after sleep, and the report that waited is not read', async () => {
    const { library, send, isOpen } = stand();
    let asleep = 0;
    const clocks = { wall: () => Date.now() + asleep, steady: () => performance.now() };
    const { balance, all } = started(library, clocks);
    await expect.poll(isOpen).toBe(1);
    send('030402fed204');
    expect(all).toHaveLength(1);
    asleep = 3_600_000;
    send('030402feff0f');
    expect(all).toHaveLength(1);
    expect(balance.state).toMatchObject({ kind: 'lost', why: expect.stringContaining('for about 60 min') });
    await expect.poll(isOpen, { timeout: 2000 }).toBe(1);
    await expect
      .poll(() => {
        send('030402fed204');
        return all.length;
      })
      .toBeGreaterThan(1);
    expect(balance.state.kind).toBe('live');
  });

  it('takes no keys', async () => {
    await expect(started(stand().library).balance.press('tare')).rejects.toMatchObject({
      kind: 'unsupported',
    });
  });

  it('is looked for with the real library, or its absence is said plainly', async () => {
    const library = await loadHid().catch((error: unknown) => {
      expect(error).toMatchObject({
        kind: 'unsupported',
        next: expect.stringMatching(/libusb-1.0|npm i node-hid/),
      });
      console.warn(String(error));
      return null;
    });
    if (library !== null) expect(Array.isArray(await listScales(library))).toBe(true);
  });
});
