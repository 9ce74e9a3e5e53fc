import type { Lot, Material, Step } from '../formula/types.ts';
import type { StartFacts } from './events.ts';

/** The facts of a batch with what was added to it: lots join the shelf, materials the list, each once. */
export function factsWith(
  facts: StartFacts,
  lots: readonly Lot[],
  materials: readonly Material[],
): StartFacts {
  if (lots.length === 0) return facts;
  const known = new Set([...facts.lots, ...(facts.shelf ?? [])].map((lot) => lot.code));
  const keys = new Set(facts.materials.map((material) => material.key));
  const newLots = lots.filter((lot, i) => !known.has(lot.code) && firstOf(lots, i, (one) => one.code));
  const newOnes = materials.filter(
    (material, i) => !keys.has(material.key) && firstOf(materials, i, (one) => one.key),
  );
  const shelf = [...(facts.shelf ?? []), ...newLots];
  return {
    ...facts,
    ...(shelf.length === 0 ? {} : { shelf }),
    materials: [...facts.materials, ...newOnes],
  };
}

function firstOf<T>(all: readonly T[], at: number, idOf: (one: T) => string): boolean {
  const one = all[at];
  return one !== undefined && all.findIndex((other) => idOf(other) === idOf(one)) === at;
}

/** A drop when nothing is known of the lot's own, g (common practice, no source). */
const USUAL_DROP = '0.025';

/**
 * The step of a line that the nose asked for: a lot, poured without a target.
 * @param n the how-manyth unplanned line it is, from 1
 */
export function unplannedStep(lot: Lot, materials: readonly Material[], n: number): Step {
  const parts = Object.entries(lot.composition).filter(([, fraction]) => Number(fraction) > 0);
  const known = parts.flatMap(([key, fraction]) => {
    const material = materials.find((one) => one.key === key);
    return material === undefined ? [] : [{ material, fraction: Number(fraction) }];
  });
  const neat = known.filter(({ material }) => material.kind === 'neat');
  const main = (neat.length > 0 ? neat : known).toSorted((a, b) => b.fraction - a.fraction)[0]?.material;
  return {
    line: `unplanned-${n}`,
    material: main?.key ?? parts[0]?.[0] ?? lot.code,
    lot: lot.code,
    title: lot.name,
    note: main?.note ?? null,
    family: main?.family ?? '',
    kind: neat.length === 0 ? 'solvent' : parts.length === 1 ? 'neat' : 'dilution',
    solid: main?.solid === true,
    qs: false,
    target: '0',
    half: '0',
    drop: lot.drop ?? USUAL_DROP,
    sureness: 'sure',
    dropTooLarge: false,
    cautions: [...new Set(known.flatMap(({ material }) => material.cautions ?? []))],
    reason: 'unplanned',
    unplanned: true,
  };
}
