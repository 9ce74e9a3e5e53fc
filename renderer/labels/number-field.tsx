import { useEffect, useState } from 'preact/hooks';
import { TextField } from '../parts/form.tsx';

interface NumberProps {
  readonly label: string;
  readonly value: number;
  readonly onNumber: (value: number) => void;
  readonly least: number;
  readonly most: number;
  readonly whole?: boolean;
  readonly hint?: string;
  readonly wrong?: string | null;
}

/** A number as typed, with a point or a comma; null where it is none. */
function numberOf(text: string, whole: boolean): number | null {
  const plain = text.trim().replace(',', '.');
  if (!(whole ? /^\d{1,5}$/ : /^\d{1,4}(\.\d{1,3})?$/).test(plain)) return null;
  return Number(plain);
}

/** A field for one number within bounds: what is typed stays, and is told where it is none. */
export function NumberField({ label, value, onNumber, least, most, whole = false, ...rest }: NumberProps) {
  const [text, setText] = useState(String(value));
  const typed = numberOf(text, whole);
  useEffect(() => {
    if (numberOf(text, whole) !== value) setText(String(value));
  }, [value]);
  const out = typed === null || typed < least || typed > most;
  return (
    <TextField
      label={label}
      figure
      maxLength={8}
      value={text}
      hint={rest.hint}
      wrong={out ? `A ${whole ? 'whole number' : 'number'} from ${least} to ${most}.` : (rest.wrong ?? null)}
      onInput={(given) => {
        setText(given);
        const number = numberOf(given, whole);
        if (number !== null && number >= least && number <= most) onNumber(number);
      }}
    />
  );
}
