import { computed, signal } from '@preact/signals';

export const SCREENS = ['organ', 'formulas', 'pour', 'records', 'balance', 'practice'] as const;
export type Screen = (typeof SCREENS)[number];

export interface Route {
  readonly screen: Screen;
  /** The formula or batch that the screen opens; null for its list. */
  readonly item: string | null;
  /** The leaf of the item; null for the first. */
  readonly leaf: string | null;
}

export const route = signal<Route>({ screen: 'pour', item: null, leaf: null });
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
  const [name = '', item = '', leaf = ''] = fragment.replace(/^#/, '').split('/');
  return isScreen(name)
    ? { screen: name, item: item === '' ? null : decoded(item), leaf: leaf === '' ? null : decoded(leaf) }
    : { screen: 'pour', item: null, leaf: null };
}

/** The address fragment of a screen, of one item of it where given, and of a leaf of that. */
export function fragmentOf(name: Screen, item?: string, leaf?: string): string {
  if (item === undefined) return `#${name}`;
  const parts = leaf === undefined ? [item] : [item, leaf];
  return `#${[name, ...parts.map(encodeURIComponent)].join('/')}`;
}
