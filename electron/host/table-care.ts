/** What a window may ask about the care of a balance: profile, checks, history. */
export const CARE_CALLS = {} as const;
