import { useEffect } from 'preact/hooks';
import type { ShelfView } from '../../electron/host/table.ts';
import { scrolls } from '../parts/scrolls.ts';
import { fetchShelves, shelves } from '../state/workshop.ts';

type Material = ShelfView['materials'][number];

function Bottle({ material }: { material: Material }) {
  return (
    <li class="bottle">
      <h3>{material.name}</h3>
      <p class="bottle-note">{material.note ?? material.kind}</p>
      {material.lots.length === 0 && <p class="soft">no lot</p>}
      {material.lots.map((lot) => (
        <p class="lot" key={lot.code}>
          <span>{lot.code}</span>
          <b>{lot.strength}</b>
          <span>{lot.stock === null ? '' : `${lot.stock} g`}</span>
        </p>
      ))}
    </li>
  );
}

/** The Organ: shelves by family, materials by alphabet, each with its lots, their strength and stock. */
export function OrganScreen() {
  useEffect(() => void fetchShelves(), []);
  const all = shelves.value;
  return (
    <div class="screen">
      <header class="screen-head">
        <h1>Organ</h1>
        {all !== null && (
          <p class="soft">
            {all.reduce((sum, shelf) => sum + shelf.materials.length, 0)} materials on {all.length} shelves
          </p>
        )}
      </header>
      <section class="screen-body organ" aria-label="Shelves" {...scrolls}>
        {all?.map((shelf) => (
          <section class="shelf" key={shelf.family} aria-label={shelf.family}>
            <h2>{shelf.family}</h2>
            <ul>
              {shelf.materials.map((material) => (
                <Bottle key={material.key} material={material} />
              ))}
            </ul>
          </section>
        ))}
      </section>
    </div>
  );
}
