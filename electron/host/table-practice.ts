/** What a window may ask about lessons, learners and scores. */
export const PRACTICE_CALLS = {} as const;
