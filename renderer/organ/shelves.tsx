import type { ShelfView } from '../../electron/host/table.ts';
import { scrolls } from '../parts/scrolls.ts';
import { fragmentOf } from '../state/route.ts';
import { shelves } from '../state/workshop.ts';

type Material = ShelfView['materials'][number];

function Bottle({ material }: { material: Material }) {
  return (
    <li class="bottle">
      <h3>
        <a href={fragmentOf('organ', `material:${material.key}`)}>{material.name}</a>
      </h3>
      <p class="bottle-note">{material.note ?? material.kind}</p>
      {material.lots.length === 0 && <p class="soft">no lot</p>}
      {material.lots.map((lot) => (
        <p class="lot" key={lot.code}>
          <a href={fragmentOf('organ', `lot:${lot.code}`)}>{lot.code}</a>
          <b>{lot.strength}</b>
          <span>{lot.stock === null ? '' : `${lot.stock} g`}</span>
        </p>
      ))}
    </li>
  );
}

/** Shelves by family, materials by alphabet, each with its lots, their strength and stock. */
export function Shelves() {
  return (
    <section class="organ" aria-label="Shelves" {...scrolls}>
      {shelves.value?.map((shelf) => (
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
  );
}
