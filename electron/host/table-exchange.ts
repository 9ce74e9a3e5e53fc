/** What a window may ask about bringing lists in and handing them out. */
export const EXCHANGE_CALLS = {} as const;
