import { Form, KeepFoot, Pick, TextField } from '../parts/form.tsx';
import { InPlace } from '../parts/in-place.tsx';
import { Press } from '../parts/press.tsx';
import { wrongAt } from '../state/field-problems.ts';
import { type LotForm, type OpenLot, saveLot, typeLot, typeStock } from '../state/lot-form.ts';
import { fragmentOf } from '../state/route.ts';
import { ContentsFields } from './contents-fields.tsx';

const GLASS = [
  { value: '', says: 'not told' },
  { value: 'dark', says: 'dark' },
  { value: 'clear', says: 'clear' },
] as const;

interface FieldProps {
  readonly open: OpenLot;
  readonly label: string;
  readonly of: Exclude<keyof LotForm, 'contents' | 'glass'>;
  readonly figure?: boolean;
  readonly hint?: string;
  readonly type?: 'date';
  readonly wide?: boolean;
}

function Field({ open, label, of, ...rest }: FieldProps) {
  return (
    <TextField
      label={label}
      value={open.form[of]}
      wrong={wrongAt(open.problems, of)}
      onInput={(value) => typeLot({ [of]: value })}
      {...rest}
    />
  );
}

/** A best before from the day it was opened, offered, never set by itself. */
function Proposed({ open }: { open: OpenLot }) {
  const proposed = open.sheet?.proposedBestBefore ?? null;
  if (proposed === null || open.form.bestBefore === proposed.date) return null;
  return (
    <p class="row wide">
      <Press slim onPress={() => typeLot({ bestBefore: proposed.date })}>
        Best before {proposed.date}
      </Press>
      <span class="soft">{proposed.why}</span>
    </p>
  );
}

function Bottle({ open }: { open: OpenLot }) {
  return (
    <>
      <h3>Bottle</h3>
      <Field open={open} label="Bottle" of="bottle" hint="As in 30 mL dropper bottle." />
      <Pick
        label="Glass"
        value={open.form.glass}
        options={GLASS}
        hint={
          open.form.glass === 'clear'
            ? 'Light ages it: keep it in the dark (common practice, no source).'
            : undefined
        }
        onPick={(glass) => typeLot({ glass })}
      />
      <Field open={open} label="Empty bottle with its cap, g" of="empty" figure />
      <Field open={open} label="Place" of="place" hint="Shelf, drawer, refrigerator." />
    </>
  );
}

function Supply({ open }: { open: OpenLot }) {
  return (
    <>
      <h3>Supply</h3>
      <Field open={open} label="Supplier's lot" of="supplierLot" />
      <Field open={open} label="Received" of="received" type="date" />
      <Field open={open} label="Opened" of="opened" type="date" />
      <Field open={open} label="Best before" of="bestBefore" type="date" />
      <Proposed open={open} />
      <Field open={open} label="Price of one gram" of="price" figure hint="In the workshop's currency." />
      {open.code === null && (
        <TextField
          label="It holds, g"
          figure
          hint="Where it is known; from then on pours are taken off."
          value={open.stock}
          wrong={wrongAt(open.problems, 'stock')}
          onInput={typeStock}
        />
      )}
    </>
  );
}

async function keep(before: string | null): Promise<void> {
  const code = await saveLot();
  if (code !== null && before === null) location.hash = fragmentOf('organ', `lot:${code}`);
}

/** All that is typed of a lot. */
export function LotFields({ open }: { open: OpenLot }) {
  return (
    <Form name="Lot" onSubmit={() => void keep(open.code)}>
      {open.code === null && (
        <Field open={open} label="Code" of="code" hint="Free; written on bottle and lid." />
      )}
      <Field open={open} label="Name" of="name" />
      <ContentsFields open={open} />
      <Bottle open={open} />
      <Supply open={open} />
      <KeepFoot
        says={open.code === null ? 'Put it on the shelf' : 'Keep the changes'}
        saved={open.saved}
        wrong={open.problems.length > 0}
      />
      <InPlace id="told-lot" trouble={open.trouble} />
    </Form>
  );
}
