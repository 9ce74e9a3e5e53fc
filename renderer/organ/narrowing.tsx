import { Pick, TextField, Tick } from '../parts/form.tsx';
import { found, narrow, narrowing, typedLot } from '../state/organ.ts';
import type { Narrowing } from '../state/organ-search.ts';
import { fragmentOf } from '../state/route.ts';
import { shelves } from '../state/workshop.ts';

type Options<K extends keyof Narrowing> = readonly { readonly value: Narrowing[K]; readonly says: string }[];

const NOTES: Options<'note'> = [
  { value: '', says: 'any' },
  { value: 'top', says: 'top' },
  { value: 'heart', says: 'heart' },
  { value: 'base', says: 'base' },
];

const STRENGTHS: Options<'strength'> = [
  { value: '', says: 'any' },
  { value: 'neat', says: 'neat' },
  { value: 'strong', says: '20 % and more' },
  { value: 'middle', says: '5 % to 20 %' },
  { value: 'weak', says: 'below 5 %' },
  { value: 'solvent', says: 'solvent only' },
];

const EXPIRIES: Options<'expiry'> = [
  { value: '', says: 'any' },
  { value: 'soon', says: 'within 60 days' },
  { value: 'past', says: 'past' },
  { value: 'none', says: 'none given' },
];

const STOCKS: Options<'stock'> = [
  { value: '', says: 'any' },
  { value: 'at hand', says: 'at hand' },
  { value: 'low', says: 'running out' },
  { value: 'not known', says: 'not known' },
];

/** Enter on a whole code, or with one lot left, goes to its sheet. */
async function go(): Promise<void> {
  const code = await typedLot();
  if (code !== null) location.hash = fragmentOf('organ', `lot:${code}`);
}

/** What the shelves are narrowed to. */
export function NarrowingSide() {
  const now = narrowing.value;
  const { materials, lots } = found.value;
  const families = (shelves.value ?? []).map(({ family }) => ({ value: family, says: family }));
  return (
    <search class="narrowing">
      <form
        onSubmit={(event) => {
          event.preventDefault();
          void go();
        }}
      >
        <TextField
          label="Find"
          type="search"
          placeholder="name, code, CAS"
          hint="Enter opens the lot of a code."
          value={now.words}
          onInput={(words) => narrow({ words })}
        />
      </form>
      <p role="status" class="soft">
        {materials === 1 ? '1 material' : `${materials} materials`}, {lots === 1 ? '1 lot' : `${lots} lots`}
      </p>
      <Pick
        label="Family"
        value={now.family}
        options={[{ value: '', says: 'all' }, ...families]}
        onPick={(family) => narrow({ family })}
      />
      <Pick label="Note" value={now.note} options={NOTES} onPick={(note) => narrow({ note })} />
      <Pick
        label="Strength"
        value={now.strength}
        options={STRENGTHS}
        onPick={(strength) => narrow({ strength })}
      />
      <Pick
        label="Best before"
        value={now.expiry}
        options={EXPIRIES}
        onPick={(expiry) => narrow({ expiry })}
      />
      <Pick label="Stock" value={now.stock} options={STOCKS} onPick={(stock) => narrow({ stock })} />
      <Tick label="Finished lots too" on={now.finished} onTick={(finished) => narrow({ finished })} />
    </search>
  );
}
