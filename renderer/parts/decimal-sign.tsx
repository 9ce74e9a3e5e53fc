import { useId } from 'preact/hooks';
import { type DecimalSign, decimalSign } from '../state/handing-over.ts';

const SIGNS: readonly { readonly sign: DecimalSign; readonly name: string }[] = [
  { sign: 'point', name: 'point, 1.5' },
  { sign: 'comma', name: 'comma, 1,5' },
];

/** How numbers stand in CSV, wherever one is handed over. */
export function DecimalSignPick() {
  const name = useId();
  return (
    <fieldset class="decimal-sign">
      <legend>Decimal sign in CSV</legend>
      {SIGNS.map((one) => (
        <label key={one.sign}>
          <input
            type="radio"
            name={name}
            checked={decimalSign.value === one.sign}
            onChange={() => {
              decimalSign.value = one.sign;
            }}
          />
          {one.name}
        </label>
      ))}
    </fieldset>
  );
}
