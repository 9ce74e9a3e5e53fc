import type { WorkshopStore } from './store/workshop.ts';

/** Whether cautions are only shown, or must be heeded before their bottle because a teacher requires it. */
export type CautionRule = 'shown' | 'required';

const SETTING = 'cautions';

/** The rule of this machine for batches that begin from now on. */
export const cautionRule = (workshop: WorkshopStore): CautionRule =>
  workshop.setting(SETTING) === 'required' ? 'required' : 'shown';

/** Keeps another rule; it holds for all later batches. @throws StoreTrouble when it cannot be stored */
export function keepCautionRule(workshop: WorkshopStore, rule: CautionRule): CautionRule {
  workshop.set(SETTING, rule);
  return rule;
}
