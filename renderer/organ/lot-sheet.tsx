import { useEffect } from 'preact/hooks';
import { InPlace } from '../parts/in-place.tsx';
import { Press } from '../parts/press.tsx';
import { fetchLot, finishLot, newLot, type OpenLot, openLot, saying } from '../state/lot-form.ts';
import { choices, fetchChoices } from '../state/organ.ts';
import { fragmentOf } from '../state/route.ts';
import { LotFields } from './lot-fields.tsx';
import { Stock } from './stock.tsx';

function Head({ open }: { open: OpenLot }) {
  const { sheet } = open;
  if (sheet === null) return <h2 id="lot-name">New lot</h2>;
  return (
    <header>
      <h2 id="lot-name">{sheet.form.name}</h2>
      <p class="lot-facts">
        <b>{sheet.code}</b> · {sheet.strength === '–' ? 'solvent' : sheet.strength}
        {sheet.stock === null ? '' : ` · ${sheet.stock} g`}
        {sheet.finished !== null && ` · finished ${sheet.finished}`}
      </p>
      {sheet.madeBy !== null && (
        <p>
          Made here: <a href={fragmentOf('records', sheet.madeBy.batch)}>{sheet.madeBy.name}</a>
        </p>
      )}
      <p class="soft">Drop: {sheet.drop}</p>
      {sheet.heed.length > 0 && (
        <ul class="warnings" aria-label="To be heeded">
          {sheet.heed.map((one) => (
            <li key={one}>{one}</li>
          ))}
        </ul>
      )}
    </header>
  );
}

function Ways({ open }: { open: OpenLot }) {
  const { sheet } = open;
  if (sheet === null) return null;
  return (
    <p class="row">
      {sheet.dilutes && (
        <a class="press slim" href={fragmentOf('organ', `dilute:${sheet.code}`)}>
          Dilute it
        </a>
      )}
      <a class="press slim" href={fragmentOf('organ', `labels:${sheet.code}`)}>
        Labels
      </a>
      <Press slim onPress={() => void finishLot(sheet.finished === null)}>
        {sheet.finished === null ? 'It is finished' : 'It is on the shelf after all'}
      </Press>
    </p>
  );
}

function Sheet({ open }: { open: OpenLot }) {
  if (open.code !== null && open.sheet === null)
    return (
      <div class="paper">
        <InPlace id="told-lot" trouble={open.trouble} />
      </div>
    );
  return (
    <section class="paper lot-sheet" aria-labelledby="lot-name">
      <Head open={open} />
      <Ways open={open} />
      <Stock open={open} />
      <LotFields open={open} />
    </section>
  );
}

/** One lot: what it holds, what was poured from it, and its bottle. */
export function LotSheet({ code }: { code: string }) {
  useEffect(() => {
    saying.value = null;
    void fetchChoices();
    void fetchLot(code);
  }, [code]);
  const open = openLot.value;
  return open === null || open.code !== code ? null : <Sheet open={open} />;
}

/** A new lot of a material. */
export function NewLot({ of }: { of: string }) {
  useEffect(() => {
    void fetchChoices().then(() => {
      const found = choices.value?.materials.find((one) => one.key === of);
      return newLot(of, found?.name ?? '');
    });
  }, [of]);
  const open = openLot.value;
  return open === null || open.code !== null ? null : <Sheet open={open} />;
}
