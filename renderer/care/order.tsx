import { useSignal } from '@preact/signals';
import { Form, Pick, TextField } from '../parts/form.tsx';
import { link } from '../state/bench.ts';
import { begin, type CheckKind, type CheckOrder, care, type WeightClass } from '../state/care.ts';
import { CHECKS } from './words.ts';

const titleOf = (kind: CheckKind): string => CHECKS.find((one) => one.kind === kind)?.title ?? kind;

export const CLASSES = ['E1', 'E2', 'F1', 'F2', 'M1', 'M2', 'M3'] as const;

/** Masses as they are typed: "100", "100 + 50"; a comma is a decimal sign. */
export const partsOf = (text: string): string[] =>
  text
    .split('+')
    .map((one) => one.trim().replace(',', '.'))
    .filter((one) => one !== '');

export function ClassPick({
  value,
  onPick,
}: {
  readonly value: WeightClass;
  readonly onPick: (one: WeightClass) => void;
}) {
  return (
    <Pick
      label="Class of the weights"
      hint="OIML R 111, as its box or its certificate says"
      value={value}
      options={CLASSES.map((one) => ({ value: one, says: one }))}
      onPick={onPick}
    />
  );
}

const Begin = () => (
  <p class="row">
    <button type="submit" class="press primary" disabled={link.value !== 'live'}>
      Begin
    </button>
    {link.value !== 'live' && <span class="soft">The balance must be live first.</span>}
  </p>
);

const capacity = (): number => Number(care.value?.limits.capacity ?? '200');

const third = (): string => (capacity() === 200 ? '50 + 20' : String(Math.round(capacity() / 3)));

/** Loads that are tried, as far as this balance carries them. */
const LOADS = ['10', '20', '50', '100', '100 + 50'] as const;
const carried = (): string[] =>
  LOADS.filter((one) => partsOf(one).reduce((sum, part) => sum + Number(part), 0) <= capacity());

/** The load as one figure; null where it is left open. Weights that stand together are summed by hand of the host. */
function loadOf(text: string): string | null {
  const parts = partsOf(text);
  if (parts.length === 0) return null;
  const digits = Math.max(0, ...parts.map((one) => one.split('.')[1]?.length ?? 0));
  return parts.length === 1
    ? (parts[0] ?? null)
    : parts.reduce((sum, one) => sum + Number(one), 0).toFixed(digits);
}

function WeightsForm({ kind }: { readonly kind: 'daily' | 'linearity' }) {
  const own = care.value?.profile.weight;
  const grade = useSignal<WeightClass>(own?.weightClass ?? 'F2');
  const text = useSignal(
    kind === 'linearity'
      ? carried().join(', ')
      : (own?.parts.join(' + ') ?? (capacity() < 100 ? (carried().at(-1) ?? '') : '100')),
  );
  const order = (): CheckOrder => {
    const weightClass = grade.value;
    if (kind === 'daily') return { kind, weights: { parts: partsOf(text.value), weightClass } };
    const loads = text.value
      .split(/[,;](?!\d)/)
      .map((one) => ({ parts: partsOf(one), weightClass }))
      .filter(({ parts }) => parts.length > 0);
    return { kind, loads };
  };
  return (
    <Form name={titleOf(kind)} onSubmit={() => void begin(order())}>
      <TextField
        label={kind === 'daily' ? 'Check weight, g' : 'Loads, g, from small to large'}
        hint={
          kind === 'daily'
            ? 'Nominal value; several that stand together as 100 + 50'
            : 'Parted by a comma and a space; several that stand together as 100 + 50'
        }
        figure={kind === 'daily'}
        wide={kind === 'linearity'}
        value={text.value}
        onInput={(value) => {
          text.value = value;
        }}
      />
      <ClassPick
        value={grade.value}
        onPick={(one) => {
          grade.value = one;
        }}
      />
      <Begin />
    </Form>
  );
}

function LoadForm({ kind }: { readonly kind: 'repeatability' | 'eccentricity' | 'drift' }) {
  const text = useSignal(kind === 'eccentricity' ? third() : '');
  const n = useSignal('10');
  const order = (): CheckOrder => {
    const load = loadOf(text.value);
    if (kind === 'repeatability') return { kind, load, n: Number(n.value) };
    if (kind === 'drift') return { kind, load, minutes: 10 };
    return { kind, load };
  };
  return (
    <Form name={titleOf(kind)} onSubmit={() => void begin(order())}>
      <TextField
        label="Load, g"
        hint={
          kind === 'eccentricity'
            ? 'About a third of the capacity'
            : 'A weight, or empty for any steady object'
        }
        figure
        value={text.value}
        onInput={(value) => {
          text.value = value;
        }}
      />
      {kind === 'repeatability' && (
        <Pick
          label="Weighings"
          value={n.value}
          options={['5', '6', '7', '8', '9', '10'].map((one) => ({ value: one, says: one }))}
          onPick={(one) => {
            n.value = one;
          }}
        />
      )}
      <Begin />
    </Form>
  );
}

function DropsForm() {
  const count = useSignal('10');
  return (
    <Form name={titleOf('drops')} onSubmit={() => void begin({ kind: 'drops', count: Number(count.value) })}>
      <TextField
        label="Drops"
        hint="5 to 30, let fall one at a time"
        figure
        value={count.value}
        onInput={(value) => {
          count.value = value;
        }}
      />
      <Begin />
    </Form>
  );
}

/** What a check is made with, and its beginning. */
export function Order({ kind }: { readonly kind: CheckKind }) {
  if (kind === 'daily' || kind === 'linearity') return <WeightsForm key={kind} kind={kind} />;
  return kind === 'drops' ? <DropsForm /> : <LoadForm key={kind} kind={kind} />;
}
