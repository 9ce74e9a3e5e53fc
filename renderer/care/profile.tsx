import { useSignal } from '@preact/signals';
import { Form, Pick, TextField } from '../parts/form.tsx';
import { type CareView, keepProfile, kept, type Profile } from '../state/care.ts';
import { ClassPick, partsOf } from './order.tsx';

const LIMITS = [
  { key: 'd', name: 'Readability d', unit: ' g' },
  { key: 's', name: 'Repeatability s', unit: ' g' },
  { key: 'c', name: 'Calibration share c', unit: '' },
  { key: 'capacity', name: 'Capacity', unit: ' g' },
] as const;

/** The limits that count in every plan and uncertainty, with where each comes from. */
export function Limits({ view }: { readonly view: CareView }) {
  return (
    <table class="limits">
      <caption>What counts in every plan</caption>
      <thead>
        <tr>
          <th scope="col">Limit</th>
          <th scope="col" class="mass">
            Value
          </th>
          <th scope="col">From</th>
        </tr>
      </thead>
      <tbody>
        {LIMITS.map(({ key, name, unit }) => (
          <tr key={key}>
            <th scope="row">{name}</th>
            <td class="mass">
              {view.limits[key]}
              {unit}
            </td>
            <td class="soft">{view.from[key]}</td>
          </tr>
        ))}
      </tbody>
    </table>
  );
}

type Field = Exclude<keyof Profile, 'balanceClass' | 'weight'>;
const WORDS: readonly {
  readonly key: Field;
  readonly label: string;
  readonly hint?: string;
  readonly figure?: true;
}[] = [
  { key: 'name', label: 'Name', hint: 'As records call it' },
  { key: 'serial', label: 'Serial number', hint: 'On its plate' },
  { key: 'place', label: 'Place' },
  { key: 'capacity', label: 'Capacity, g', hint: 'Max on its plate; 200 is taken while empty', figure: true },
  { key: 'd', label: 'Readability d, g', hint: 'As the figure shows it while empty', figure: true },
  { key: 'e', label: 'Verification interval e, g', hint: 'On its plate, where it has one', figure: true },
  { key: 'c', label: 'Calibration share c', hint: '0.0001 is taken while empty', figure: true },
  { key: 'warmUpMinutes', label: 'Warm-up, minutes', hint: '30: common practice, no source', figure: true },
  {
    key: 'dueHours',
    label: 'Daily check due after, hours',
    hint: '12: once each working day (common practice, no source)',
    figure: true,
  },
];

const textOf = (value: Profile[Field]): string => (value === null ? '' : String(value));
const mass = (text: string): string | null => (text.trim() === '' ? null : text.trim().replace(',', '.'));
const whole = (text: string): number => (/^\s*\d+\s*$/.test(text) ? Number(text) : Number.NaN);

/** What a person says of the balance on this bench. */
export function ProfileForm({ view }: { readonly view: CareView }) {
  const { profile } = view;
  const texts = useSignal<Record<Field, string>>(
    Object.fromEntries(WORDS.map(({ key }) => [key, textOf(profile[key])])) as Record<Field, string>,
  );
  const grade = useSignal<NonNullable<Profile['balanceClass']> | ''>(profile.balanceClass ?? '');
  const weight = useSignal(profile.weight?.parts.join(' + ') ?? '');
  const weightClass = useSignal(profile.weight?.weightClass ?? 'F2');
  const keep = (): void => {
    const { name, serial, place, capacity, d, e, c, warmUpMinutes, dueHours } = texts.value;
    const parts = partsOf(weight.value);
    void keepProfile({
      name,
      serial,
      place,
      capacity: mass(capacity),
      d: mass(d),
      e: mass(e),
      c: mass(c),
      balanceClass: grade.value === '' ? null : grade.value,
      warmUpMinutes: whole(warmUpMinutes),
      dueHours: whole(dueHours),
      weight: parts.length === 0 ? null : { parts, weightClass: weightClass.value },
    });
  };
  return (
    <Form name="Profile of the balance" onSubmit={keep}>
      {WORDS.map(({ key, label, hint, figure }) => (
        <TextField
          key={key}
          label={label}
          hint={hint}
          figure={figure === true}
          maxLength={120}
          value={texts.value[key]}
          onInput={(value) => {
            texts.value = { ...texts.value, [key]: value };
            kept.value = false;
          }}
        />
      ))}
      <Pick
        label="Class"
        hint="On its plate, in an oval"
        value={grade.value}
        options={[
          { value: '', says: 'not known' },
          ...(['I', 'II', 'III', 'IIII'] as const).map((one) => ({ value: one, says: one })),
        ]}
        onPick={(one) => {
          grade.value = one;
        }}
      />
      <TextField
        label="Check weight at hand, g"
        hint="Nominal value; empty for none"
        figure
        value={weight.value}
        onInput={(value) => {
          weight.value = value;
        }}
      />
      <ClassPick
        value={weightClass.value}
        onPick={(one) => {
          weightClass.value = one;
        }}
      />
      <p class="row">
        <button type="submit" class="press primary">
          Keep it
        </button>
        <span role="status" class="soft">
          {kept.value && 'Kept.'}
        </span>
      </p>
    </Form>
  );
}
