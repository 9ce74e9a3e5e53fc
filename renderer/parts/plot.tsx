import './language.ts';
import { useSignal } from '@preact/signals';
import { useEffect, useRef } from 'preact/hooks';
import uPlot from 'uplot';
import { sheet } from '../state/preferences.ts';

/** A colour of the sheet as the canvas takes it. */
export type Ink = (name: 'ink' | 'paper' | 'soft' | 'rule' | 'verdigris' | 'madder' | 'slate') => string;

interface PlotProps {
  /** What the figure shows, for those who do not see it. */
  readonly name: string;
  readonly data: uPlot.AlignedData;
  readonly options: (ink: Ink) => Omit<uPlot.Options, 'width' | 'height'>;
  /** The part of the horizontal scale that is shown; null for all of it. */
  readonly shown?: { readonly min: number; readonly max: number } | null;
}

const HEIGHT = 300;

function inkOf(place: HTMLElement): Ink {
  return (name) => {
    const probe = document.createElement('span');
    probe.style.color = `var(--${name})`;
    place.append(probe);
    const { color } = getComputedStyle(probe);
    probe.remove();
    return color;
  };
}

/** An axis as this sheet draws it; at least 13 px. */
export const axis = (ink: Ink, more: uPlot.Axis): uPlot.Axis => ({
  stroke: ink('soft'),
  font: '13px "Inter Variable", sans-serif',
  labelFont: '13px "Inter Variable", sans-serif',
  grid: { stroke: ink('rule'), width: 1 },
  ticks: { stroke: ink('rule'), width: 1 },
  ...more,
});

/** A chart that follows the width of its place and the colours of the sheet. */
export function Plot({ name, data, options, shown = null }: PlotProps) {
  const place = useRef<HTMLDivElement>(null);
  const plot = useRef<uPlot | null>(null);
  const dark = useSignal(matchMedia('(prefers-color-scheme: dark)').matches);
  useEffect(() => {
    const scheme = matchMedia('(prefers-color-scheme: dark)');
    const hear = (): void => {
      dark.value = scheme.matches;
    };
    scheme.addEventListener('change', hear);
    return () => scheme.removeEventListener('change', hear);
  }, [dark]);
  const scheme = `${sheet.value} ${dark.value}`;
  useEffect(() => {
    const box = place.current;
    if (box === null) return;
    const made = new uPlot({ ...options(inkOf(box)), width: box.clientWidth, height: HEIGHT }, data, box);
    plot.current = made;
    const sized = new ResizeObserver(() => made.setSize({ width: box.clientWidth, height: HEIGHT }));
    sized.observe(box);
    return () => {
      sized.disconnect();
      made.destroy();
      plot.current = null;
    };
  }, [data, scheme]);
  useEffect(() => {
    const x = data[0];
    const all = { min: x[0] ?? 0, max: x[x.length - 1] ?? 1 };
    plot.current?.setScale('x', shown ?? all);
  }, [data, scheme, shown]);
  return <div ref={place} class="plot" role="img" aria-label={name} />;
}
