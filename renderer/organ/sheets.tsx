import { shelves } from '../state/workshop.ts';

/** One lot of the shelves. */
export function LotSheet({ code }: { code: string }) {
  const lots = (shelves.value ?? []).flatMap((shelf) => shelf.materials.flatMap((one) => one.lots));
  const lot = lots.find((one) => one.code === code);
  if (lot === undefined) return <p class="soft">There is no lot {code} on the shelf.</p>;
  return (
    <section class="paper" aria-labelledby="lot-name">
      <h2 id="lot-name">{lot.name}</h2>
      <p class="soft">
        {lot.code} · {lot.strength} {lot.stock === null ? '' : `· ${lot.stock} g`}
      </p>
    </section>
  );
}

/** One material of the shelves. */
export function MaterialSheet({ of }: { of: string }) {
  const materials = (shelves.value ?? []).flatMap((shelf) => shelf.materials);
  const material = materials.find((one) => one.key === of);
  if (material === undefined) return <p class="soft">There is no material {of}.</p>;
  return (
    <section class="paper" aria-labelledby="material-name">
      <h2 id="material-name">{material.name}</h2>
      <p class="soft">{material.note ?? material.kind}</p>
    </section>
  );
}
