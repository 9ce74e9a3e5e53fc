import { describe, expect, it } from 'vitest';
import { whereNow } from '../../../drivers/link/whereabouts.ts';

const A = { vendorId: '0403', productId: '6001', serialNumber: 'A1' };
const B = { ...A, serialNumber: 'B2' };
const nameless = { vendorId: '1A86', productId: '7523' };

describe('where a remembered balance is plugged in now', () => {
  it('is its new path after it was replugged, though another stands at the old one', () => {
    const listed = [
      { path: '/dev/ttyUSB0', ...B },
      { path: '/dev/ttyUSB1', ...A },
    ];
    expect(whereNow(A, '/dev/ttyUSB0', listed)).toBe('/dev/ttyUSB1');
  });

  it('is nowhere, and never the port of another device, while it is unplugged', () => {
    expect(() => whereNow(A, '/dev/ttyUSB0', [{ path: '/dev/ttyUSB0', ...B }])).toThrow(
      'The balance 0403:6001 A1 is not plugged in.',
    );
  });

  it('is the only one of its kind where it has no serial number, however the ids are written', () => {
    const listed = [{ path: '/dev/ttyUSB3', vendorId: '1a86', productId: '7523' }];
    expect(whereNow(nameless, '/dev/ttyUSB0', listed)).toBe('/dev/ttyUSB3');
  });

  it('is the one at its path where several are alike, and asked for where none is', () => {
    const listed = [3, 4].map((n) => ({ path: `/dev/ttyUSB${n}`, ...nameless }));
    expect(whereNow(nameless, '/dev/ttyUSB4', listed)).toBe('/dev/ttyUSB4');
    expect(() => whereNow(nameless, '/dev/ttyUSB0', listed)).toThrow('2 devices are 1A86:7523');
  });

  it('is the remembered path where the system told no ids', () => {
    expect(whereNow(null, '/dev/pts/7', [])).toBe('/dev/pts/7');
  });
});
