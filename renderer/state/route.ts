import { computed, signal } from '@preact/signals';

export const SCREENS = ['organ', 'formulas', 'pour', 'records', 'balance'] as const;
export type Screen = (typeof SCREENS)[number];

export interface Route {
  readonly screen: Screen;
  /** The formula or batch that the screen opens; null for its list. */
  readonly item: string | null;
}

export const route = signal<Route>({ screen: 'pour', item: null });
export const screen = computed(() => route.value.screen);

const isScreen = (name: string): name is Screen => SCREENS.some((one) => one === name);

function decoded(text: string): string | null {
  try {
    return decodeURIComponent(text);
  } catch {
    // A percent sign that encodes nothing: an address typed by hand names no item.
    return null;
  }
}

/** Reads an address fragment such as "#records/7f3a"; anything else is Pour. */
export function readRoute(fragment: string): Route {
  const [name = '', item = ''] = fragment.replace(/^#/, '').split('/');
  return isScreen(name)
    ? { screen: name, item: item === '' ? null : decoded(item) }
    : { screen: 'pour', item: null };
}

/** The address fragment of a screen, of one item of it where given. */
export function fragmentOf(name: Screen, item?: string): string {
  return item === undefined ? `#${name}` : `#${name}/${encodeURIComponent(item)}`;
}
