import { useEffect, useRef } from 'preact/hooks';
import type { ShelfView } from '../../electron/host/table.ts';
import { Press } from '../parts/press.tsx';
import { scrolls } from '../parts/scrolls.ts';
import { drawMore, found, onShow } from '../state/organ.ts';
import { fragmentOf } from '../state/route.ts';
import { shelves } from '../state/workshop.ts';
import { NarrowingSide } from './narrowing.tsx';

type Material = ShelfView['materials'][number];
type Lot = Material['lots'][number];

/** What a lot wants, by shape and word. */
export function Wants({ lot }: { lot: Lot }) {
  return (
    <>
      {lot.finished && <span class="want">finished</span>}
      {lot.low !== null && <span class="want low">running out</span>}
      {lot.expiry !== null && (
        <span class={lot.expiry.past ? 'want outdated' : 'want soon'}>
          {lot.expiry.past ? 'past its date' : lot.expiry.text.replace(/^.*, /, 'expires ')}
        </span>
      )}
    </>
  );
}

function LotRow({ lot }: { lot: Lot }) {
  return (
    <p class="lot">
      <a class="lot-open" href={fragmentOf('organ', `lot:${lot.code}`)}>
        <span class="lot-code">{lot.code}</span>
        <b>{lot.strength}</b>
        <span class="lot-stock">{lot.stock === null ? '' : `${lot.stock} g`}</span>
        <Wants lot={lot} />
      </a>
      {lot.neat > 0 && !lot.finished && (
        <a
          class="lot-dilute"
          href={fragmentOf('organ', `dilute:${lot.code}`)}
          aria-label={`Dilute ${lot.code}`}
        >
          Dilute
        </a>
      )}
    </p>
  );
}

function Bottle({ material }: { material: Material }) {
  const { key, kind, name, note, lots } = material;
  return (
    <li class="bottle">
      <h3>
        <a href={fragmentOf('organ', `${kind === 'blend' ? 'lot' : 'material'}:${key}`)}>{name}</a>
        <small>{note ?? kind}</small>
      </h3>
      {lots.length === 0 && <p class="soft">no lot</p>}
      {lots.map((lot) => (
        <LotRow key={lot.code} lot={lot} />
      ))}
    </li>
  );
}

/** Draws more as soon as it comes into sight, or when it is pressed. */
function More({ count }: { count: number }) {
  const place = useRef<HTMLDivElement>(null);
  useEffect(() => {
    const seen = new IntersectionObserver((all) => {
      if (all.some((one) => one.isIntersecting)) drawMore();
    });
    if (place.current !== null) seen.observe(place.current);
    return () => seen.disconnect();
  }, [count]);
  return (
    <div class="more" ref={place}>
      <Press slim onPress={drawMore}>
        Show more of {count}
      </Press>
    </div>
  );
}

function Nothing() {
  const empty = shelves.value !== null && shelves.value.length === 0;
  return empty ? (
    <p class="soft">The shelves are empty. Begin with a material.</p>
  ) : (
    <p class="soft">Nothing on the shelves is like this.</p>
  );
}

/** Shelves by family, materials by alphabet, each with its lots, their strength and stock. */
export function Shelves() {
  const { shelves: shown, more } = onShow.value;
  return (
    <div class="shelves-leaf">
      <NarrowingSide />
      <section class="organ" aria-label="Shelves" {...scrolls}>
        {shelves.value !== null && found.value.materials === 0 && <Nothing />}
        {shown.map((shelf) => (
          <section class="shelf" key={shelf.family} aria-label={shelf.family}>
            <h2>{shelf.family}</h2>
            <ul>
              {shelf.materials.map((material) => (
                <Bottle key={`${material.kind} ${material.key}`} material={material} />
              ))}
            </ul>
          </section>
        ))}
        {more > 0 && <More count={more} />}
      </section>
    </div>
  );
}
