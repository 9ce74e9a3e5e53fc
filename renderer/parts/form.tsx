import type { ComponentChildren } from 'preact';
import { useId } from 'preact/hooks';

interface Common {
  readonly label: string;
  /** A quiet line under the field: unit, example, where the value is to be found. */
  readonly hint?: string | undefined;
  /** What is wrong with what stands in the field, and what to do; null when nothing is. */
  readonly wrong?: string | null | undefined;
  readonly wide?: boolean;
}

interface TextProps extends Common {
  readonly value: string;
  readonly onInput: (value: string) => void;
  readonly type?: 'text' | 'search' | 'date';
  /** A figure: the decimal keyboard, tabular digits. */
  readonly figure?: boolean;
  readonly placeholder?: string;
  readonly maxLength?: number;
  readonly list?: string;
}

const fieldClass = (wide: boolean | undefined): string => (wide === true ? 'field wide' : 'field');

/** What stands under a field, tied to it for those who do not see it. */
function Under({ id, hint, wrong }: { id: string } & Pick<Common, 'hint' | 'wrong'>) {
  if (typeof wrong === 'string')
    return (
      <span class="in-place" id={id} role="status">
        {wrong}
      </span>
    );
  return hint === undefined ? null : (
    <span class="field-hint" id={id}>
      {hint}
    </span>
  );
}

const tied = (id: string, { hint, wrong }: Pick<Common, 'hint' | 'wrong'>) => ({
  'aria-invalid': typeof wrong === 'string',
  'aria-describedby': typeof wrong === 'string' || hint !== undefined ? id : undefined,
});

/** A field of one line. */
export function TextField({ label, value, onInput, type, figure, wide, list, ...rest }: TextProps) {
  const id = useId();
  const { hint, wrong, placeholder, maxLength } = rest;
  return (
    <label class={fieldClass(wide)}>
      {label}
      <input
        type={type ?? 'text'}
        inputMode={figure === true ? 'decimal' : undefined}
        autoComplete="off"
        placeholder={placeholder ?? ''}
        maxLength={maxLength ?? 200}
        list={list}
        {...tied(id, rest)}
        value={value}
        onInput={(event) => onInput(event.currentTarget.value)}
      />
      <Under id={id} hint={hint} wrong={wrong} />
    </label>
  );
}

/** A field of several lines. */
export function LongText({ label, value, onInput, wide, maxLength, ...rest }: TextProps) {
  const id = useId();
  return (
    <label class={fieldClass(wide)}>
      {label}
      <textarea
        rows={3}
        maxLength={maxLength ?? 4000}
        {...tied(id, rest)}
        value={value}
        onInput={(event) => onInput(event.currentTarget.value)}
      />
      <Under id={id} hint={rest.hint} wrong={rest.wrong} />
    </label>
  );
}

interface PickProps<T extends string> extends Common {
  readonly value: T;
  readonly options: readonly { readonly value: T; readonly says: string }[];
  readonly onPick: (value: T) => void;
}

/** One of a few. */
export function Pick<T extends string>({ label, value, options, onPick, wide, ...rest }: PickProps<T>) {
  const id = useId();
  return (
    <label class={fieldClass(wide)}>
      {label}
      <select
        value={value}
        {...tied(id, rest)}
        onChange={(event) => {
          const found = options.find((one) => one.value === event.currentTarget.value);
          if (found !== undefined) onPick(found.value);
        }}
      >
        {options.map((one) => (
          <option key={one.value} value={one.value}>
            {one.says}
          </option>
        ))}
      </select>
      <Under id={id} hint={rest.hint} wrong={rest.wrong} />
    </label>
  );
}

/** Yes or no. */
export function Tick({
  label,
  on,
  onTick,
}: {
  readonly label: string;
  readonly on: boolean;
  readonly onTick: (on: boolean) => void;
}) {
  return (
    <label class="tick">
      <input type="checkbox" checked={on} onChange={(event) => onTick(event.currentTarget.checked)} />
      {label}
    </label>
  );
}

/** Fields side by side, and what is done with them beneath. Enter in a field does the first of these. */
export function Form({
  children,
  onSubmit,
  name,
}: {
  readonly children: ComponentChildren;
  readonly onSubmit: () => void;
  readonly name: string;
}) {
  return (
    <form
      class="form"
      aria-label={name}
      noValidate
      onSubmit={(event) => {
        event.preventDefault();
        onSubmit();
      }}
    >
      {children}
    </form>
  );
}

/** The end of a form that is kept: what its key says, and whether it is kept. */
export function KeepFoot({ says, saved, wrong }: { says: string; saved: boolean; wrong: boolean }) {
  return (
    <div class="row">
      <button type="submit" class="press primary">
        {says}
      </button>
      <span role="status" class="soft">
        {saved ? 'Kept.' : ''}
        {wrong ? 'Not kept: see the fields above.' : ''}
      </span>
    </div>
  );
}
