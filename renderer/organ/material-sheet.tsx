import { useEffect } from 'preact/hooks';
import { Form, KeepFoot, LongText, Pick, TextField, Tick } from '../parts/form.tsx';
import { InPlace } from '../parts/in-place.tsx';
import { Press } from '../parts/press.tsx';
import { wrongAt } from '../state/field-problems.ts';
import {
  fetchMaterial,
  type MaterialForm,
  newMaterial,
  type OpenMaterial,
  openMaterial,
  saveMaterial,
  typeMaterial,
} from '../state/material-form.ts';
import { choices, fetchChoices } from '../state/organ.ts';
import { fragmentOf } from '../state/route.ts';

interface Shown {
  readonly form: MaterialForm;
  readonly wrong: (field: string) => string | null;
}

const NOTES = [
  { value: '', says: 'none' },
  { value: 'top', says: 'top' },
  { value: 'heart', says: 'heart' },
  { value: 'base', says: 'base' },
] as const;

const KINDS = [
  { value: 'neat', says: 'neat material' },
  { value: 'solvent', says: 'solvent' },
] as const;

function Naming({ form, wrong }: Shown) {
  return (
    <>
      <TextField
        label="Name"
        wide
        value={form.name}
        wrong={wrong('name')}
        onInput={(name) => typeMaterial({ name })}
      />
      <TextField
        label="Other names"
        wide
        hint="Separated by commas; it is found by each."
        value={form.otherNames}
        onInput={(otherNames) => typeMaterial({ otherNames })}
      />
      <Pick label="Kind" value={form.kind} options={KINDS} onPick={(kind) => typeMaterial({ kind })} />
      <Pick label="Note" value={form.note} options={NOTES} onPick={(note) => typeMaterial({ note })} />
      <TextField
        label="Family"
        list="families"
        hint="One of the list, or your own."
        value={form.family}
        wrong={wrong('family')}
        onInput={(family) => typeMaterial({ family })}
      />
      <datalist id="families">
        {(choices.value?.families ?? []).map((family) => (
          <option key={family} value={family} />
        ))}
      </datalist>
      <Tick label="Solid at room temperature" on={form.solid} onTick={(solid) => typeMaterial({ solid })} />
    </>
  );
}

function Facts({ form, wrong }: Shown) {
  return (
    <>
      <TextField
        label="CAS number"
        hint="As in 78-70-6; its check digit is verified."
        value={form.cas}
        wrong={wrong('cas')}
        onInput={(cas) => typeMaterial({ cas })}
      />
      <TextField
        label="Density at 20 °C, g/mL"
        figure
        hint="For estimates of volume only."
        value={form.density}
        wrong={wrong('density')}
        onInput={(density) => typeMaterial({ density })}
      />
      <TextField
        label="Keeps once opened, months"
        figure
        value={form.shelfLife}
        wrong={wrong('shelfLife')}
        onInput={(shelfLife) => typeMaterial({ shelfLife })}
      />
      <LongText
        label="Cautions"
        wide
        hint="One a line. They replace no document of the supplier."
        value={form.cautions}
        onInput={(cautions) => typeMaterial({ cautions })}
      />
      <h3>Supplier's limit</h3>
      <TextField
        label="At most, % of the finished product"
        figure
        value={form.limitPercent}
        wrong={wrong('limitPercent')}
        onInput={(limitPercent) => typeMaterial({ limitPercent })}
      />
      <TextField
        label="Document"
        value={form.limitDocument}
        wrong={wrong('limitDocument')}
        onInput={(limitDocument) => typeMaterial({ limitDocument })}
      />
      <TextField
        label="Date of the document"
        type="date"
        value={form.limitDate}
        wrong={wrong('limitDate')}
        onInput={(limitDate) => typeMaterial({ limitDate })}
      />
    </>
  );
}

function Constituents({ form, wrong }: Shown) {
  const rows = form.constituents;
  const put = (at: number, part: Partial<(typeof rows)[number]>): void =>
    typeMaterial({ constituents: rows.map((row, i) => (i === at ? { ...row, ...part } : row)) });
  const all = wrong('constituents');
  return (
    <fieldset class="rows">
      <legend>Constituents to declare, from the supplier's document</legend>
      {rows.map((row, at) => (
        <div class="row-fields" key={at}>
          <TextField
            label="Constituent"
            value={row.name}
            wrong={wrong(`constituents.${at}.name`)}
            onInput={(name) => put(at, { name })}
          />
          <TextField
            label="CAS number"
            value={row.cas}
            wrong={wrong(`constituents.${at}.cas`)}
            onInput={(cas) => put(at, { cas })}
          />
          <TextField
            label="% of the neat material"
            figure
            value={row.percent}
            wrong={wrong(`constituents.${at}.percent`)}
            onInput={(percent) => put(at, { percent })}
          />
          <Press slim onPress={() => typeMaterial({ constituents: rows.filter((_, i) => i !== at) })}>
            Take away
          </Press>
        </div>
      ))}
      {all !== null && <p class="in-place">{all}</p>}
      <Press
        slim
        onPress={() => typeMaterial({ constituents: [...rows, { name: '', cas: '', percent: '' }] })}
      >
        Add a constituent
      </Press>
    </fieldset>
  );
}

async function keep(): Promise<void> {
  const before = openMaterial.value?.key ?? null;
  const key = await saveMaterial();
  if (key !== null && before === null) location.hash = fragmentOf('organ', `material:${key}`);
}

function Sheet({ open }: { open: OpenMaterial }) {
  const shown: Shown = { form: open.form, wrong: (field) => wrongAt(open.problems, field) };
  return (
    <Form name="Material" onSubmit={() => void keep()}>
      <Naming {...shown} />
      <Facts {...shown} />
      <Constituents {...shown} />
      <KeepFoot
        says={open.key === null ? 'Keep the material' : 'Keep the changes'}
        saved={open.saved}
        wrong={open.problems.length > 0}
      />
      <InPlace id="told-material" trouble={open.trouble} />
    </Form>
  );
}

function Lots({ open: { kept } }: { open: OpenMaterial }) {
  if (kept === null) return null;
  return (
    <section aria-labelledby="lots-of">
      <h3 id="lots-of" class="caption">
        Lots
      </h3>
      <ul class="wanting">
        {kept.lots.map((lot) => (
          <li key={lot.code}>
            <a href={fragmentOf('organ', `lot:${lot.code}`)}>
              <b>{lot.name}</b>
              <span>{lot.code}</span>
              <span>
                {lot.strength}
                {lot.stock === null ? '' : ` · ${lot.stock} g`}
                {lot.finished ? ' · finished' : ''}
              </span>
            </a>
          </li>
        ))}
      </ul>
      <p class="row">
        <a class="press slim" href={fragmentOf('organ', `new-lot:${kept.key}`)}>
          New lot of it
        </a>
      </p>
    </section>
  );
}

/** One material with its lots; `of` is its key, null for a new one. */
export function MaterialSheet({ of }: { of: string | null }) {
  useEffect(() => {
    void fetchChoices();
    if (of === null) newMaterial();
    else void fetchMaterial(of);
  }, [of]);
  const open = openMaterial.value;
  if (open === null || open.key !== of) return null;
  if (of !== null && open.kept === null)
    return (
      <div class="paper">
        <InPlace id="told-material" trouble={open.trouble} />
      </div>
    );
  return (
    <section class="paper" aria-labelledby="material-name">
      <h2 id="material-name">{open.kept?.form.name ?? 'New material'}</h2>
      <Lots open={open} />
      <Sheet open={open} />
    </section>
  );
}
