import { Pick, TextField, Tick } from '../parts/form.tsx';
import { Press } from '../parts/press.tsx';
import {
  bringIn,
  busy,
  type ListView,
  leaveOut,
  putBack,
  putListAway,
  takeFromList,
  target,
  type Wishes,
  wish,
  wishes,
} from '../state/bring-in.ts';
import { ListTable } from './list-table.tsx';

const ENCODINGS = [
  { value: 'utf-8', says: 'UTF-8' },
  { value: 'utf-16le', says: 'UTF-16' },
  { value: 'utf-16be', says: 'UTF-16, high byte first' },
  { value: 'windows-1252', says: 'Windows-1252, Latin-1' },
] as const;
const DELIMITERS = [
  { value: 'tab', says: 'tabs' },
  { value: 'semicolon', says: 'semicolons' },
  { value: 'comma', says: 'commas' },
  { value: 'bar', says: 'upright bars' },
  { value: 'none', says: 'nothing: one column' },
] as const;
const SIGNS = [
  { value: 'point', says: 'point, 1.5' },
  { value: 'comma', says: 'comma, 1,5' },
] as const;
const LIQUIDS = [
  '',
  'ethanol',
  'ethanol 96 % vol',
  'dipropylene glycol',
  'isopropyl myristate',
  'triethyl citrate',
] as const;
const liquids = (none: string) => LIQUIDS.map((value) => ({ value, says: value === '' ? none : value }));

const oneOf = <T extends string>(all: readonly { readonly value: T }[], value: string): T | undefined =>
  all.find((one) => one.value === value)?.value;

/** A figure in a field as a row number; nothing where it is none. */
const rowNumber = (text: string): Wishes => (/^\d{1,3}$/.test(text) ? { header: Number(text) } : {});

/** How the list was recognised, each to be said otherwise. */
function Recognised({ view }: { view: ListView }) {
  return (
    <fieldset class="form recognised">
      <legend class="caption">What was recognised</legend>
      <Pick
        label="Letters"
        value={oneOf(ENCODINGS, view.encoding.value) ?? 'utf-8'}
        options={ENCODINGS}
        hint={view.encoding.told}
        onPick={(encoding) => wish({ encoding })}
      />
      <Pick
        label="Cells are parted by"
        value={oneOf(DELIMITERS, view.delimiter.value) ?? 'none'}
        options={DELIMITERS}
        hint={view.delimiter.told}
        onPick={(delimiter) => wish({ delimiter })}
      />
      <Pick
        label="Decimal sign"
        value={oneOf(SIGNS, view.sign.value) ?? 'point'}
        options={SIGNS}
        hint={view.sign.told}
        onPick={(sign) => wish({ sign })}
      />
      <TextField
        label="Row of the headings"
        figure
        hint="0 where there is none"
        value={String(view.header)}
        onInput={(text) => wish(rowNumber(text))}
      />
      <Pick
        label="Dilutions without a solvent are in"
        value={oneOf(liquids(''), wishes.value.solvent ?? '') ?? ''}
        options={liquids('not told')}
        onPick={(solvent) => wish({ solvent })}
      />
      {target.value === 'formula' && <Whole />}
    </fieldset>
  );
}

/** What makes a formula whole. */
function Whole() {
  const { fill = '', scale = false } = wishes.value.formula ?? {};
  const change = (part: { fill?: string; scale?: boolean }) =>
    wish({ formula: { name: '', ...wishes.value.formula, ...part } });
  return (
    <>
      <Pick
        label="Filled to the whole with"
        value={oneOf(liquids(''), fill) ?? ''}
        options={liquids('nothing')}
        onPick={(now) => change({ fill: now })}
      />
      <Tick label="Shares are parts of their sum" on={scale} onTick={(now) => change({ scale: now })} />
    </>
  );
}

/** What is here already and told otherwise in the list: it stays, unless it is ticked. */
function Differs({ view }: { view: ListView }) {
  if (view.differs.length === 0) return null;
  return (
    <section aria-labelledby="differs">
      <h3 id="differs" class="caption">
        Here already, and told otherwise in the list
      </h3>
      <ul class="differs">
        {view.differs.map(({ id, name, what, take }) => (
          <li key={id}>
            <p>
              <b>{name}</b> <span class="soft">{what.join('; ')}</span>
            </p>
            <Tick
              label={`Take the list's word for ${name}`}
              on={take}
              onTick={(on) => takeFromList(id, on)}
            />
          </li>
        ))}
      </ul>
    </section>
  );
}

/** Rows that are not taken, each with its reason. */
function LeftOut({ view }: { view: ListView }) {
  if (view.leftOut.length === 0) return null;
  return (
    <section aria-labelledby="left-out">
      <h3 id="left-out" class="caption">
        Left out
      </h3>
      <ul class="left-out">
        {view.leftOut.map(({ row, why }) => (
          <li key={row}>
            row {row}: {why}
            {why === 'left out by hand' && (
              <Press slim onPress={() => putBack(row)}>
                Put row {row} back
              </Press>
            )}
          </li>
        ))}
      </ul>
    </section>
  );
}

/** Everything that a person should know of rows and cells; what stops comes first. */
function Remarks({ view }: { view: ListView }) {
  const of = (column: number | null) =>
    column === null ? '' : `, ${view.columns.find((one) => one.index === column)?.heading ?? ''}`;
  const sorted = [...view.remarks].sort((a, b) => Number(b.stops) - Number(a.stops) || a.row - b.row);
  return (
    <ul class="list-remarks" aria-label="What to look at">
      {view.wrong !== null && (
        <li data-stops="true">
          <p>
            <b>{view.wrong.what}</b> {view.wrong.next}
          </p>
        </li>
      )}
      {sorted.slice(0, 100).map((one) => (
        <li key={`${one.row} ${one.column} ${one.what}`} data-stops={one.stops}>
          <p>
            {one.row > 0 && (
              <span class="soft">
                row {one.row}
                {of(one.column)}:{' '}
              </span>
            )}
            {one.stops ? <b>{one.what}</b> : one.what} {one.next}
          </p>
          {one.stops && one.row > 0 && (
            <Press slim onPress={() => leaveOut(one.row)}>
              Leave row {one.row} out
            </Press>
          )}
        </li>
      ))}
      {sorted.length > 100 && <li class="soft">and {sorted.length - 100} more</li>}
    </ul>
  );
}

/** Why the list cannot be taken as it stands; empty when it can. */
function stoppedBy(view: ListView): string {
  const stops = view.remarks.filter((one) => one.stops).length + (view.wrong === null ? 0 : 1);
  if (stops > 0) return stops === 1 ? 'One thing above stops it.' : `${stops} things above stop it.`;
  return view.ready ? '' : 'It brings nothing new.';
}

/** A list as it was read: what was recognised, what is wrong, what it would bring, and the rows themselves. */
export function ListSheet({ view }: { view: ListView }) {
  return (
    <section class="list-sheet" aria-label={`The list ${view.name}`}>
      <Recognised view={view} />
      <Remarks view={view} />
      <ListTable view={view} />
      <LeftOut view={view} />
      <Differs view={view} />
      <footer class="list-foot">
        <p role="status">
          {view.summary.join(' ')} {stoppedBy(view)}
        </p>
        <p class="row">
          <Press primary disabled={!view.ready || busy.value} onPress={() => void bringIn()}>
            Bring it in
          </Press>
          <Press onPress={putListAway}>Put it away</Press>
        </p>
      </footer>
    </section>
  );
}
