/** Name of the call into the stand-in, and of the way back. */
export const INVOKE = '__standInInvoke';
export const DELIVER = '__standInDeliver';

type Listener = (event: unknown, ...args: unknown[]) => void;
type Invoke = (channel: string, args: unknown[]) => Promise<{ value?: unknown; error?: string }>;
type Preload = (require: (name: string) => unknown, module: object, exports: object) => void;

/**
 * Runs the preload in the page before the page's own scripts, as the runtime does: it may require `electron` only; what it
 * exposes is frozen, and everything that crosses is copied. Serialised into the page: it uses nothing from outside itself.
 */
function runPreload(preload: Preload, invokeName: string, deliverName: string): void {
  if (window.top !== window) return;
  const invoke = Reflect.get(window, invokeName) as Invoke;
  const listeners = new Map<string, Set<Listener>>();
  const heardBy = (channel: string): Set<Listener> => {
    const set = listeners.get(channel) ?? new Set<Listener>();
    listeners.set(channel, set);
    return set;
  };
  const crossing = (value: unknown): unknown => {
    if (typeof value === 'function')
      return (...args: unknown[]) => crossing(Reflect.apply(value, undefined, args.map(crossing)));
    if (value instanceof Promise) return value.then(crossing);
    return structuredClone(value);
  };
  Object.defineProperty(window, deliverName, {
    value: (channel: string, args: unknown[]) => {
      for (const listener of heardBy(channel)) listener({}, ...args);
    },
  });
  const electron = {
    contextBridge: {
      exposeInMainWorld: (key: string, api: object) => {
        const copies = Object.entries(api).map(([name, value]) => [name, crossing(value)] as const);
        Object.defineProperty(window, key, {
          value: Object.freeze(Object.fromEntries(copies)),
          enumerable: true,
        });
      },
    },
    ipcRenderer: {
      invoke: async (channel: string, ...args: unknown[]) => {
        const answer = await invoke(channel, structuredClone(args));
        if (answer.error !== undefined)
          throw new Error(`Error invoking remote method '${channel}': ${answer.error}`);
        return answer.value;
      },
      on: (channel: string, listener: Listener) => void heardBy(channel).add(listener),
      off: (channel: string, listener: Listener) => void heardBy(channel).delete(listener),
    },
  };
  const module = { exports: {} };
  preload(
    (name) => {
      if (name === 'electron') return electron;
      throw new Error(`A sandboxed preload cannot require ${name}.`);
    },
    module,
    module.exports,
  );
}

/** The script that runs `preload` (the built CommonJS text) in a page. */
export function preloadScript(preload: string): string {
  return `(${runPreload.toString()})(function (require, module, exports) {\n${preload}\n}, ${JSON.stringify(INVOKE)}, ${JSON.stringify(DELIVER)});`;
}
