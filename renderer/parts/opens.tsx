import type { Signal } from '@preact/signals';
import { keepFocus } from './press.tsx';

interface OpensProps {
  /** The figure that is shown, and opens. */
  readonly figure: string;
  /** What the figure is of, for those who do not see where it stands. */
  readonly of: string;
  readonly open: Signal<boolean>;
  readonly controls: string;
}

/** A figure that opens how it was got. */
export function Opens({ figure, of, open, controls }: OpensProps) {
  return (
    <button
      type="button"
      class="opens"
      aria-expanded={open.value}
      aria-controls={controls}
      onMouseDown={keepFocus}
      onClick={() => {
        open.value = !open.value;
      }}
    >
      <svg class="opens-mark" viewBox="0 0 12 12" aria-hidden="true">
        <path d={open.value ? 'M2 4 6 8.5 10 4' : 'M4 2 8.5 6 4 10'} />
      </svg>
      {figure}
      <span class="unseen"> {of}: how it was got</span>
    </button>
  );
}

/** How a figure was got, line by line. */
export function HowGot({ lines }: { lines: readonly string[] }) {
  return (
    <ol class="how-got">
      {lines.map((line) => (
        <li key={line}>{line}</li>
      ))}
    </ol>
  );
}
