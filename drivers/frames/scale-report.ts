import { figureOf } from './figure.ts';
import type { Meaning } from './shape.ts';
import { WHICH_TAEL } from './shape.ts';

/**
 * The data report of a USB scale (HID usage page 8Dh, usage 20h): report number 3, status, unit, a signed power of
 * ten, and an unsigned weight of 16 bits, low byte first. Values of status and unit are those of the USB HID usage
 * tables.
 */

/** Usage page and usage by which such a device is known. */
export const SCALE_USAGE_PAGE = 0x8d;
export const SCALE_USAGE = 0x20;

const DATA_REPORT = 3;
const LENGTH = 6;

const UNITS: Readonly<Record<number, string>> = {
  1: 'mg',
  2: 'g',
  3: 'kg',
  4: 'ct',
  6: 'gr',
  7: 'dwt',
  10: 'ozt',
  11: 'oz',
  12: 'lb',
};
const OTHER: Readonly<Record<number, string>> = {
  5: WHICH_TAEL,
  8: 'tonnes; this is no balance for pouring',
  9: 'tons; this is no balance for pouring',
};

/** Powers of ten that a balance can mean; others are refused. */
const LEAST_POWER = -6;
const MOST_POWER = 3;

const STATUS = {
  fault: 1,
  zero: 2,
  moving: 3,
  stable: 4,
  underZero: 5,
  over: 6,
  needsCalibration: 7,
  needsZero: 8,
} as const;

/** The weight as text: `counts` times ten to the power of `power`. */
function scaled(counts: number, power: number, negative: boolean): string | null {
  const digits = String(counts).padStart(Math.max(1, 1 - power), '0');
  const text = power >= 0 ? digits + '0'.repeat(power) : `${digits.slice(0, power)}.${digits.slice(power)}`;
  return figureOf(negative ? '-' : '', text);
}

/**
 * What one report means; null when it is no data report. Some systems put a zero byte before the report.
 * A weight under zero comes as its magnitude with the status "under zero".
 */
export function parseScaleReport(report: Uint8Array): Meaning | null {
  const bytes = report[0] === 0 && report.length > LENGTH ? report.subarray(1) : report;
  if (bytes[0] !== DATA_REPORT || bytes.length < LENGTH) return null;
  const [, status = 0, unitCode = 0, exponent = 0, low = 0, high = 0] = bytes;
  switch (status) {
    case STATUS.fault:
      return { kind: 'fault', what: 'the scale reports a fault' };
    case STATUS.over:
      return { kind: 'out-of-range', way: 'over' };
    case STATUS.needsCalibration:
      return { kind: 'fault', what: 'the scale wants to be calibrated' };
    case STATUS.needsZero:
      return { kind: 'fault', what: 'the scale wants its zero set again' };
    case STATUS.zero:
    case STATUS.moving:
    case STATUS.stable:
    case STATUS.underZero:
      return weight(status, unitCode, (exponent << 24) >> 24, low | (high << 8));
    default:
      return { kind: 'refused', why: `unknown status ${status} of the scale report` };
  }
}

function weight(status: number, unitCode: number, power: number, counts: number): Meaning {
  const other = OTHER[unitCode];
  if (other !== undefined) return { kind: 'not-a-weight', what: other };
  const unit = UNITS[unitCode];
  if (unit === undefined) return { kind: 'refused', why: `unknown unit ${unitCode} of the scale report` };
  if (power < LEAST_POWER || power > MOST_POWER)
    return { kind: 'refused', why: `a power of ten of ${power} is not believable` };
  const figure = scaled(counts, power, status === STATUS.underZero);
  if (figure === null) return { kind: 'refused', why: 'the number is not a plain decimal number' };
  const stable = status === STATUS.underZero ? null : status !== STATUS.moving;
  return { kind: 'weight', figure, unit, stable };
}
