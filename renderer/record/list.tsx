import { useEffect, useRef } from 'preact/hooks';
import { momentText } from '../figures/moment.ts';
import { Press } from '../parts/press.tsx';
import { heading, underWay } from '../state/bench.ts';
import { type FoundRow, find, findMore, firstOf, found, foundRows, searched } from '../state/finding.ts';
import { fragmentOf, route } from '../state/route.ts';

function Row({ row }: { row: FoundRow }) {
  const open = route.value.item === row.batch;
  const onBench = underWay.value && heading.value?.batch === row.batch;
  return (
    <a href={fragmentOf('records', row.batch)} aria-current={open ? 'true' : undefined}>
      <b>{row.name}</b>
      <small>
        {momentText(row.started)}
        {row.total !== null && ` · ${row.total} g`}
        {row.strength !== null && ` · ${row.strength}`}
      </small>
      {onBench ? <small>on the bench</small> : <small class={`status ${row.status}`}>{row.status}</small>}
      {!onBench && row.marks !== '' && row.marks !== row.status && <small>{row.marks}</small>}
      {row.trouble !== null && <small class="status interrupted">{row.trouble}</small>}
    </a>
  );
}

/** Arrows go through what takes the focus in the list, from the field down and back. */
function goByArrow(event: KeyboardEvent): void {
  const step = event.key === 'ArrowDown' ? 1 : event.key === 'ArrowUp' ? -1 : 0;
  if (step === 0 || !(event.currentTarget instanceof HTMLElement)) return;
  const stops = [...event.currentTarget.querySelectorAll<HTMLElement>('input, a, button')];
  const at = stops.findIndex((one) => one.matches(':focus'));
  const to = stops[at + step];
  if (at < 0 || to === undefined) return;
  event.preventDefault();
  to.focus();
}

async function openFirst(): Promise<void> {
  const batch = await firstOf(searched.value.trim());
  if (batch !== null) location.hash = fragmentOf('records', batch);
}

function Search() {
  const field = useRef<HTMLInputElement>(null);
  useEffect(() => {
    const slash = (event: KeyboardEvent): void => {
      const typing = event.target instanceof Element && event.target.matches('input, textarea, select');
      if (event.key !== '/' || typing) return;
      event.preventDefault();
      field.current?.focus();
      field.current?.select();
    };
    addEventListener('keydown', slash);
    return () => removeEventListener('keydown', slash);
  }, []);
  return (
    <form
      class="search"
      onSubmit={(event) => {
        event.preventDefault();
        void openFirst();
      }}
    >
      <label>
        <span class="search-name">
          Search <kbd class="key">/</kbd>
        </span>
        <input
          ref={field}
          type="text"
          autoComplete="off"
          spellcheck={false}
          maxLength={300}
          aria-keyshortcuts="/"
          aria-describedby="search-in"
          value={searched}
          onInput={(event) => {
            searched.value = event.currentTarget.value;
            void find();
          }}
        />
      </label>
      <small id="search-in">name, lot, material, operator, deviation, or a day: 2026-01-31</small>
    </form>
  );
}

function Told() {
  const now = found.value;
  if (now === null) return null;
  const sought = searched.value.trim() !== '';
  const count = `${now.rows.length}${now.more ? ' and more' : ''}`;
  if (now.all === 0) return <>No batch has been poured yet.</>;
  if (now.rows.length === 0) return <>No batch has this. Each word is taken as the beginning of one.</>;
  return (
    <>{sought ? `${count} of ${now.all} batches` : `${now.all} ${now.all === 1 ? 'batch' : 'batches'}`}</>
  );
}

/** Every batch that has what is typed, the latest first. */
export function BatchList() {
  useEffect(() => void find(), []);
  return (
    <nav class="list" aria-label="Batches" onKeyDown={goByArrow}>
      <Search />
      <p class="soft" role="status">
        <Told />
      </p>
      {foundRows.value.map((row) => (
        <Row key={row.batch} row={row} />
      ))}
      {found.value?.more === true && (
        <div class="more">
          <Press slim onPress={() => void findMore()}>
            Further batches
          </Press>
        </div>
      )}
    </nav>
  );
}
