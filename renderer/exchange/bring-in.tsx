import { Form, LongText, Pick, TextField } from '../parts/form.tsx';
import { InPlace } from '../parts/in-place.tsx';
import { Press } from '../parts/press.tsx';
import {
  busy,
  done,
  formulaName,
  listTrouble,
  nameFormula,
  pasted,
  readFile,
  readPasted,
  type Target,
  takeAs,
  target,
  view,
} from '../state/bring-in.ts';
import { fragmentOf } from '../state/route.ts';
import { sending } from '../state/upload.ts';
import { ArchiveIn } from './archive-in.tsx';
import { FileField } from './file-field.tsx';
import { ListSheet } from './list-sheet.tsx';

const TARGETS: readonly { readonly value: Target; readonly says: string }[] = [
  { value: 'shelf', says: 'materials and bottles' },
  { value: 'formula', says: 'one formula' },
];

/** What came of the last list. */
function Done() {
  const told = done.value;
  return (
    <div role="status">
      {told !== null && (
        <div class="brought">
          <p>{told.done.join(' ')}</p>
          <p>
            {told.formula === null ? (
              <a href={fragmentOf('organ')}>To the shelves</a>
            ) : (
              <a href={fragmentOf('formulas', told.formula)}>To the formula</a>
            )}
          </p>
        </div>
      )}
    </div>
  );
}

function ListIn() {
  return (
    <section class="bring-in" aria-labelledby="bring-in">
      <h2 id="bring-in">Bring in a list</h2>
      <Form name="The list" onSubmit={() => void readPasted()}>
        <Pick label="It holds" value={target.value} options={TARGETS} onPick={takeAs} />
        {target.value === 'formula' && (
          <TextField label="Name of the formula" value={formulaName.value} onInput={nameFormula} />
        )}
        <LongText
          wide
          label="Paste from a spreadsheet"
          hint="Copy the cells with their headings. Nothing is taken before you have seen what was read."
          maxLength={2_000_000}
          value={pasted.value}
          onInput={(text) => {
            pasted.value = text;
          }}
        />
        <div class="row">
          <Press
            primary={view.value === null}
            disabled={busy.value || pasted.value.trim() === ''}
            onPress={() => void readPasted()}
          >
            Read what is pasted
          </Press>
          <FileField
            label="or open a CSV file"
            accept=".csv,.tsv,.tab,.txt,text/csv,text/plain"
            onFile={(given) => void readFile(given)}
          />
        </div>
      </Form>
      {sending.value !== null && (
        <p role="status" class="soft">
          {Math.round(sending.value * 100)} % of the file has been read.
        </p>
      )}
      <InPlace id="list-trouble" trouble={listTrouble.value} />
      <Done />
      {view.value !== null && <ListSheet view={view.value} />}
    </section>
  );
}

/** Bring in: a list from a spreadsheet, pasted or from a file; or the archive of another workshop. */
export function BringIn() {
  return (
    <>
      <ListIn />
      <ArchiveIn />
    </>
  );
}
