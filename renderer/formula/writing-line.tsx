import type { Output } from '../../electron/host/table.ts';
import { keepFocus } from '../parts/press.tsx';
import {
  bottles,
  check,
  moveLine,
  nameLine,
  problemAt,
  removeLine,
  renewAccord,
  tried,
  writeLine,
} from '../state/writing.ts';
import type { WritingLine } from '../state/written-text.ts';

type Row = Output<'formulas.check'>['lines'][number];

const UNITS = [
  { value: 'percent', says: '%' },
  { value: 'parts', says: 'parts' },
  { value: 'grams', says: 'g' },
  { value: 'qs', says: 'q.s.' },
] as const;

interface Props {
  readonly line: WritingLine;
  readonly at: number;
  readonly count: number;
  readonly onAdd: () => void;
}

/** A problem of a part of a line: told once something stands there, or once saving was tried. */
function told(line: WritingLine, part: 'of' | 'amount' | 'dilution' | 'lot', stands: boolean): string | null {
  return stands || tried.value ? problemAt(`line ${line.id} ${part}`) : null;
}

function Wrong({ id, text }: { id: string; text: string | null }) {
  return text === null ? null : (
    <span class="in-place" id={id} role="status">
      {text}
    </span>
  );
}

function Name({ line, at }: { line: WritingLine; at: number }) {
  const wrong = told(line, 'of', line.name !== '');
  const id = `wrong-of-${line.id}`;
  return (
    <td class="writing-name">
      <input
        type="text"
        id={`name-${line.id}`}
        list="line-choices"
        autoComplete="off"
        maxLength={200}
        aria-label={`Material of line ${at + 1}`}
        aria-invalid={wrong !== null}
        aria-describedby={wrong === null ? undefined : id}
        value={line.name}
        onInput={(event) => void nameLine(line.id, event.currentTarget.value)}
      />
      <Wrong id={id} text={wrong} />
    </td>
  );
}

function Amount({ line, at }: { line: WritingLine; at: number }) {
  const wrong = told(line, 'amount', line.figure !== '');
  const id = `wrong-amount-${line.id}`;
  return (
    <td class="writing-amount">
      <div class="amount-pair">
        <input
          type="text"
          inputMode="decimal"
          autoComplete="off"
          maxLength={30}
          aria-label={`Amount of line ${at + 1}`}
          aria-invalid={wrong !== null}
          aria-describedby={wrong === null ? undefined : id}
          disabled={line.qs}
          value={line.qs ? '' : line.figure}
          onInput={(event) => writeLine(line.id, { figure: event.currentTarget.value })}
        />
        <select
          aria-label={`Unit of line ${at + 1}`}
          value={line.qs ? 'qs' : line.unit}
          onChange={(event) => {
            const unit = UNITS.find((one) => one.value === event.currentTarget.value)?.value ?? 'percent';
            writeLine(line.id, unit === 'qs' ? { qs: true } : { qs: false, unit });
          }}
        >
          {UNITS.map((one) => (
            <option key={one.value} value={one.value}>
              {one.says}
            </option>
          ))}
        </select>
      </div>
      <Wrong id={id} text={wrong} />
    </td>
  );
}

function Dilution({ line, at }: { line: WritingLine; at: number }) {
  const wrong = told(line, 'dilution', line.strength !== '');
  const id = `wrong-dilution-${line.id}`;
  return (
    <td class="writing-dilution">
      {!line.qs && (
        <div class="dilution-pair">
          <input
            type="text"
            inputMode="decimal"
            autoComplete="off"
            maxLength={30}
            placeholder="neat"
            aria-label={`Strength of line ${at + 1}, % (empty: neat)`}
            aria-invalid={wrong !== null}
            aria-describedby={wrong === null ? undefined : id}
            value={line.strength}
            onInput={(event) => writeLine(line.id, { strength: event.currentTarget.value })}
          />
          {line.strength !== '' && (
            <>
              <span class="soft">% in</span>
              <input
                type="text"
                list="solvent-choices"
                autoComplete="off"
                maxLength={200}
                placeholder="Ethanol"
                aria-label={`Solvent of line ${at + 1}`}
                value={line.solvent}
                onInput={(event) => writeLine(line.id, { solvent: event.currentTarget.value })}
              />
            </>
          )}
        </div>
      )}
      <Wrong id={id} text={wrong} />
    </td>
  );
}

function Accord({ line, at, row }: { line: WritingLine; at: number; row: Row | undefined }) {
  const { accord } = line;
  if (accord === null) return null;
  const newest = row?.accord?.newest ?? accord.n;
  const made = bottles.value[accord.id] ?? [];
  const wrong = told(line, 'lot', line.lot !== '');
  return (
    <td class="writing-dilution">
      <span class="soft">accord, version {accord.n}</span>{' '}
      {newest > accord.n && (
        <button
          type="button"
          class="press slim"
          onMouseDown={keepFocus}
          onClick={() => renewAccord(line.id, { id: accord.id, newest })}
        >
          Take version {newest}
        </button>
      )}
      {(made.length > 0 || line.lot !== '') && (
        <select
          aria-label={`Poured from, line ${at + 1}`}
          value={line.lot}
          onChange={(event) => writeLine(line.id, { lot: event.currentTarget.value })}
        >
          <option value="">from its parts</option>
          {line.lot !== '' && !made.some((one) => one.code === line.lot) && (
            <option value={line.lot}>{line.lot}</option>
          )}
          {made.map((one) => (
            <option key={one.code} value={one.code}>
              from {one.code}
              {one.stock === null ? '' : `, ${one.stock} g`}
            </option>
          ))}
        </select>
      )}
      <Wrong id={`wrong-lot-${line.id}`} text={wrong} />
    </td>
  );
}

function Places({ line, at, count }: Pick<Props, 'line' | 'at' | 'count'>) {
  const label = line.name === '' ? `line ${at + 1}` : line.name;
  return (
    <td class="places">
      <button
        type="button"
        class="step-place"
        aria-label={`${label} up`}
        disabled={at === 0}
        onMouseDown={keepFocus}
        onClick={() => moveLine(line.id, -1)}
      >
        ↑
      </button>
      <button
        type="button"
        class="step-place"
        aria-label={`${label} down`}
        disabled={at === count - 1}
        onMouseDown={keepFocus}
        onClick={() => moveLine(line.id, 1)}
      >
        ↓
      </button>
      <button
        type="button"
        class="step-place"
        aria-label={`Take ${label} out`}
        onMouseDown={keepFocus}
        onClick={() => removeLine(line.id)}
      >
        ×
      </button>
    </td>
  );
}

/** Keys of a line: Enter adds one below, Alt with an arrow moves it, Alt with Delete takes it out. */
function onKey(event: KeyboardEvent, { line, onAdd }: Pick<Props, 'line' | 'onAdd'>): void {
  if (event.key === 'Enter' && event.target instanceof HTMLInputElement) {
    event.preventDefault();
    onAdd();
  } else if (event.altKey && (event.key === 'ArrowUp' || event.key === 'ArrowDown')) {
    event.preventDefault();
    moveLine(line.id, event.key === 'ArrowUp' ? -1 : 1);
  } else if (event.altKey && event.key === 'Delete') {
    event.preventDefault();
    removeLine(line.id);
  }
}

/** One line as it is written, with what it comes to beside it. */
export function LineOfWriting(props: Props) {
  const { line, at, count } = props;
  const row = check.value?.lines.find((one) => one.id === line.id);
  return (
    <tr onKeyDown={(event) => onKey(event, props)} data-line={line.id}>
      <Places line={line} at={at} count={count} />
      <Name line={line} at={at} />
      <Amount line={line} at={at} />
      {line.accord === null ? <Dilution line={line} at={at} /> : <Accord line={line} at={at} row={row} />}
      <td class="mass">
        {line.qs ? (check.value?.fills?.percent ?? '–') : (row?.neat ?? '–')}
        <small>{row?.grams === null || row === undefined ? '' : `${row.grams} g`}</small>
      </td>
      <td class="soft line-family">
        {row?.note ?? ''}
        <small>{row?.family ?? ''}</small>
      </td>
    </tr>
  );
}
