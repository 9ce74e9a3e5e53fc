/** What a window may ask about labels and the codes on them. */
export const LABEL_CALLS = {} as const;
