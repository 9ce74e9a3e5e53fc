import { useSignal } from '@preact/signals';
import { useEffect, useRef } from 'preact/hooks';

/** Width and height of a drawing, in px. */
export interface Size {
  readonly width: number;
  readonly height: number;
}

/**
 * Follows the size of an element, in whole px.
 * @param first the size until the element is there
 * @param least never told smaller than this
 */
export function useSize(first: Size, least: Size) {
  const element = useRef<HTMLDivElement>(null);
  const size = useSignal(first);
  useEffect(() => {
    const watched = element.current;
    if (watched === null) return undefined;
    const watcher = new ResizeObserver(([entry]) => {
      if (entry === undefined) return;
      const { width, height } = entry.contentRect;
      size.value = {
        width: Math.max(least.width, Math.round(width)),
        height: Math.max(least.height, Math.round(height)),
      };
    });
    watcher.observe(watched);
    return () => watcher.disconnect();
  }, [size, least.width, least.height]);
  return { element, size };
}
