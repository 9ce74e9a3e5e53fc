import { useEffect, useLayoutEffect, useRef } from 'preact/hooks';
import { Form, LongText, TextField } from '../parts/form.tsx';
import { InPlace } from '../parts/in-place.tsx';
import { Press } from '../parts/press.tsx';
import { fragmentOf } from '../state/route.ts';
import {
  accords,
  addLine,
  beginWriting,
  check,
  materials,
  problemAt,
  putAwayWriting,
  saveTrouble,
  saveWriting,
  saving,
  tried,
  unsaved,
  write,
  writing,
} from '../state/writing.ts';
import type { Writing as Written } from '../state/written-text.ts';
import { ResolvedLines } from './lines.tsx';
import { FormulaPicture } from './picture.tsx';
import { LineOfWriting } from './writing-line.tsx';

/** Choices that fit what is typed in the line at work are few: a browser draws a long list slowly. */
const CHOICES = 60;

function Choices({ typed }: { typed: readonly string[] }) {
  const words = typed.map((text) => text.trim().toLowerCase()).filter((text) => text.length > 0);
  const known = new Set(materials.value.map((one) => one.name.toLowerCase()));
  const open = words.filter((text) => !known.has(text));
  const fitting = materials.value.filter(
    (one) => open.length === 0 || open.some((text) => one.name.toLowerCase().includes(text)),
  );
  return (
    <>
      <datalist id="line-choices">
        {fitting.slice(0, CHOICES).map((one) => (
          <option key={one.key} value={one.name}>
            {one.note ?? one.family}
          </option>
        ))}
        {accords.value.map((one) => (
          <option key={`accord ${one.id}`} value={one.name}>
            accord, version {one.n}
          </option>
        ))}
      </datalist>
      <datalist id="solvent-choices">
        {materials.value
          .filter((one) => one.solvent)
          .map((one) => (
            <option key={one.key} value={one.name} />
          ))}
      </datalist>
    </>
  );
}

function Head({ now }: { now: Written }) {
  const wrong = (field: string, stands: boolean) => (stands || tried.value ? problemAt(field) : null);
  const parts = now.lines.some((line) => line.unit === 'parts' && !line.qs) || now.partsOf !== '';
  return (
    <>
      <TextField
        label="Name"
        wide
        value={now.name}
        wrong={wrong('name', false)}
        onInput={(name) => write({ name })}
      />
      <TextField
        label="Batch, g"
        figure
        value={now.batch}
        wrong={wrong('batch', now.batch !== '')}
        onInput={(batch) => write({ batch })}
      />
      <TextField
        label="Tolerance, ± %"
        figure
        value={now.tolerance}
        wrong={wrong('tolerance', now.tolerance !== '')}
        onInput={(tolerance) => write({ tolerance })}
      />
      {parts && (
        <TextField
          label="Parts of the whole"
          figure
          value={now.partsOf}
          hint="empty: they share what is left"
          wrong={problemAt('partsOf')}
          onInput={(partsOf) => write({ partsOf })}
        />
      )}
    </>
  );
}

/** What the lines add up to, told at once, with what to do where it is not the whole. */
function Totals() {
  const told = check.value;
  if (told === null) return null;
  const stated = told.lines.some((line) => line.neat !== null);
  const wrong = problemAt('lines');
  return (
    <div class="totals" role="status" data-wrong={stated && wrong !== null}>
      <p>
        <span>the lines add up to</span> <b>{told.sum}</b>
      </p>
      <p>
        <span>{told.fills === null ? 'nothing fills' : `${told.fills.name} fills`}</span>{' '}
        <b>{told.fills?.percent ?? '–'}</b>
      </p>
      {(stated || tried.value) && wrong !== null && <p class="in-place">{wrong}</p>}
    </div>
  );
}

function Lines({ now }: { now: Written }) {
  const box = useRef<HTMLTableElement>(null);
  const wanted = useRef<string | null>(null);
  useLayoutEffect(() => {
    if (wanted.current === null) return;
    box.current?.querySelector<HTMLInputElement>(`#name-${CSS.escape(wanted.current)}`)?.focus();
    wanted.current = null;
  });
  const add = (after?: string) => {
    wanted.current = addLine(after);
  };
  return (
    <div class="wide">
      <table class="writing-lines" ref={box}>
        <caption class="unseen">Lines</caption>
        <thead>
          <tr>
            <th scope="col">Order</th>
            <th scope="col">Material or accord</th>
            <th scope="col">Amount</th>
            <th scope="col">Of strength, %</th>
            <th scope="col" class="mass">
              Neat
            </th>
            <th scope="col">Note, family</th>
          </tr>
        </thead>
        <tbody>
          {now.lines.map((line, at) => (
            <LineOfWriting
              key={line.id}
              line={line}
              at={at}
              count={now.lines.length}
              onAdd={() => add(line.id)}
            />
          ))}
        </tbody>
      </table>
      <div class="row">
        <Press slim onPress={() => add()}>
          Add a line
        </Press>
        <span class="soft">
          In a line: <span class="key">↵</span> adds one below, <span class="key">Alt ↑ ↓</span> moves it,{' '}
          <span class="key">Alt Del</span> takes it out.
        </span>
      </div>
      <Totals />
      <Choices typed={now.lines.map((line) => line.name)} />
    </div>
  );
}

function Foot({ now }: { now: Written }) {
  const elsewhere = tried.value && saveTrouble.value === null && problemAt('lines') === null;
  const [first] = check.value?.problems ?? [];
  return (
    <>
      <LongText
        label={now.id === '' ? 'Why it is made (optional)' : 'Why this change (optional)'}
        wide
        maxLength={500}
        value={now.why}
        onInput={(why) => write({ why })}
      />
      <div class="row writing-foot">
        <button type="submit" class="press primary" disabled={saving.value}>
          Save
        </button>
        {unsaved.value && (
          <>
            <Press slim onPress={() => void putAwayWriting()}>
              Put my changes away
            </Press>
            <span class="soft">Kept on this machine until saved.</span>
          </>
        )}
      </div>
      <InPlace id="told-writing" trouble={saveTrouble.value} />
      {elsewhere && first !== undefined && (
        <p class="in-place wide" role="status">
          Not saved yet: what is wrong stands at its field. Nothing typed is lost.
        </p>
      )}
    </>
  );
}

async function save(): Promise<void> {
  const id = await saveWriting();
  if (id !== null) location.hash = fragmentOf('formulas', id);
}

/** The editor of a formula, a new one or the next version of one. */
export function Writing({ id }: { id: string }) {
  useEffect(() => void beginWriting(id), [id]);
  const now = writing.value;
  if (now === null || now.id !== id) return null;
  return (
    <div class="writing">
      <Form name="Formula" onSubmit={() => void save()}>
        <Head now={now} />
        <Lines now={now} />
        <Foot now={now} />
      </Form>
      {check.value !== null && <ResolvedLines sheet={check.value} />}
      <FormulaPicture picture={check.value?.picture ?? null} />
    </div>
  );
}
