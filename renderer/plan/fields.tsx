import type { ComponentChildren } from 'preact';
import { InPlace } from '../parts/in-place.tsx';
import type { Field } from '../state/drafting.ts';
import { change, drafting, wanted, wrongs } from '../state/planning.ts';
import { formulas } from '../state/workshop.ts';

const WAYS = [
  { by: 'mass', says: 'mass, in g' },
  { by: 'volume', says: 'the bottle it fills, in mL' },
  { by: 'stock', says: 'the lot that runs out first' },
  { by: 'sure', says: 'every line sure' },
] as const;

const troubleAt = (field: Field) => wrongs.value.find((one) => one.field === field)?.trouble ?? null;

interface TypedProps {
  readonly label: string;
  readonly part: 'grams' | 'millilitres' | 'vesselMass' | 'vesselCapacity';
  readonly field: Field;
  readonly placeholder?: string;
}

/** A field of the sheet that takes a figure; a trouble with it is told beneath the sheet's fields. */
function Typed({ label, part, field, placeholder }: TypedProps) {
  const wrong = troubleAt(field) !== null;
  return (
    <label>
      {label}
      <input
        type="text"
        inputMode="decimal"
        autoComplete="off"
        placeholder={placeholder ?? ''}
        aria-invalid={wrong}
        aria-describedby={wrong ? `told-${field.replace(' ', '-')}` : undefined}
        value={drafting.value[part]}
        onInput={(event) => void change({ [part]: event.currentTarget.value })}
      />
    </label>
  );
}

function Size() {
  const { by } = drafting.value;
  const formula = (formulas.value ?? []).find((one) => one.id === wanted.value);
  return (
    <>
      <label class="wide">
        Batch by
        <select
          value={by}
          onChange={(event) => {
            const found = WAYS.find((way) => way.by === event.currentTarget.value);
            if (found !== undefined) void change({ by: found.by });
          }}
        >
          {WAYS.map((way) => (
            <option key={way.by} value={way.by}>
              {way.says}
            </option>
          ))}
        </select>
      </label>
      {by === 'mass' && (
        <Typed label="Batch size, g" part="grams" field="batch size" placeholder={formula?.batch ?? ''} />
      )}
      {by === 'volume' && <Typed label="Bottle, mL" part="millilitres" field="batch size" />}
    </>
  );
}

const FIELDS: readonly Field[] = ['batch size', 'vessel mass', 'vessel capacity'];

/** Batch size, vessel, and what else the screen asks for; what is wrong with a field stands right under them. */
export function Fields({ children }: { children?: ComponentChildren }) {
  return (
    <div class="fields">
      <Size />
      <Typed label="Empty vessel, g" part="vesselMass" field="vessel mass" />
      <Typed label="Vessel holds, g" part="vesselCapacity" field="vessel capacity" />
      {children}
      {FIELDS.map((field) => (
        <InPlace key={field} id={`told-${field.replace(' ', '-')}`} trouble={troubleAt(field)} />
      ))}
    </div>
  );
}
