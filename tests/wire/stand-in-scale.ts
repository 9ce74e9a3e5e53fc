import type { onTestFinished } from 'vitest';
import type { HidDevice, HidLibrary } from '../../drivers/link/scales.ts';

const EVERY_MS = 50;

/** A USB scale that reports hundredths of a gram at rest, as long as it is open; its library is stood in for. */
export function standInScale(finished: typeof onTestFinished): {
  library: HidLibrary;
  load: (hundredths: number) => void;
} {
  let weight = 0;
  const library: HidLibrary = {
    devicesAsync: async () => [],
    open: async () => {
      let data = (_report: Uint8Array): void => {};
      const report = (): void =>
        data(Buffer.from([3, weight === 0 ? 2 : 4, 2, 0xfe, weight & 0xff, weight >> 8]));
      const sending = setInterval(report, EVERY_MS);
      finished(() => clearInterval(sending));
      const device: HidDevice = {
        on(event: 'data' | 'error', listener: never) {
          if (event === 'data') data = listener;
        },
        close: async () => clearInterval(sending),
      };
      return device;
    },
  };
  return {
    library,
    load: (hundredths) => {
      weight = hundredths;
    },
  };
}
