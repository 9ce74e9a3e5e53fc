/** Scheme and address of the desktop window's page. */
export const SCHEME = 'pourwright';
export const PAGE = `${SCHEME}://window/`;

/** Calls from the window: name and input in, reply out. */
export const CALL = 'pourwright:call';
/** Views of the bench to the window. */
export const BENCH = 'pourwright:bench';

/** The line by which the starting program knows that the window is there. */
export const OPEN_LINE = 'Pourwright is open in its own window.';
/** Begins an empty data folder with the demo workshop. */
export const DEMO = '--demo';
/** Exit code when the data folder or the database cannot be used. */
export const UNUSABLE_DATA = 2;
