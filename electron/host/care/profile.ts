import type { BalanceChoice } from '../table-balance.ts';
import { BalanceProfile } from '../table-care.ts';

/** Minutes until a balance shows the same warm as later, and hours after which a daily check is due again: once each working day (both common practice, no source). */
const WARM_UP_MINUTES = 30;
const DUE_HOURS = 12;

/** What is taken while nothing was entered. */
export const UNKNOWN: BalanceProfile = {
  name: '',
  serial: '',
  place: '',
  capacity: null,
  d: null,
  e: null,
  balanceClass: null,
  c: null,
  warmUpMinutes: WARM_UP_MINUTES,
  dueHours: DUE_HOURS,
  weight: null,
};

/** By what a balance is known again. */
export interface Identity {
  readonly id: string;
  readonly text: string;
}

function deviceIdentity(
  device: { vendorId: string; productId: string; serialNumber?: string | undefined },
  path: string,
): Identity {
  const { vendorId, productId, serialNumber } = device;
  const ids = `${vendorId}:${productId}`.toLowerCase();
  // Adapters of one kind carry the same ids: without a serial number the socket tells them apart.
  return serialNumber
    ? {
        id: `usb ${ids} ${serialNumber}`,
        text: `vendor ${vendorId}, product ${productId}, serial number ${serialNumber}`,
      }
    : {
        id: `usb ${ids} at ${path}`,
        text: `vendor ${vendorId}, product ${productId} at ${path}: it carries no serial number`,
      };
}

/** The balance that a choice means; the one without a choice is the one nothing is known of. */
export function identityOf(choice: BalanceChoice | null): Identity {
  switch (choice?.kind) {
    case undefined:
      return { id: 'none', text: 'no balance is chosen' };
    case 'simulated':
      return { id: 'simulated', text: 'the simulated balance' };
    case 'typed':
      return { id: 'typed', text: 'the balance whose figures are typed' };
    case 'usb':
      return deviceIdentity(choice.device, choice.path);
    case 'serial': {
      const { device, path, shape, line } = choice;
      const known =
        device === undefined
          ? {
              id: `port ${path} ${shape}`,
              text: `port ${path}: the system tells no vendor and product of it`,
            }
          : deviceIdentity(device, path);
      return { ...known, text: `${known.text}; line shape ${shape}, ${line}` };
    }
  }
}

/** What is stored of a balance; what was stored before a field came is read with what is taken for it. */
export function readProfile(body: string | null): BalanceProfile {
  if (body === null) return UNKNOWN;
  return BalanceProfile.parse({ ...UNKNOWN, ...(JSON.parse(body) as object) });
}
