const NAMES: Readonly<Record<string, string>> = {
  Space: 'space',
  PageUp: 'Page Up',
  PageDown: 'Page Down',
  Escape: 'esc',
};

/** A key as it is written on a button. */
export const keyLabel = (key: string): string => NAMES[key] ?? key;
