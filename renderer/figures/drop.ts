/** A drop (grams) in milligrams, as it is written; with its standard uncertainty (grams) where one is known. */
export function dropText(grams: string, u?: string): string {
  const mg = Number(grams) * 1000;
  const spread = u === undefined ? 0 : Number(u) * 1000;
  // The uncertainty is told to one figure, and the drop to the same place.
  const places = spread > 0 ? (spread < 0.95 ? 1 : 0) : mg >= 10 ? 0 : 1;
  const mean = mg.toFixed(places);
  return spread > 0 ? `${mean} mg ± ${Math.max(spread, 0.1).toFixed(places)}` : `${mean} mg`;
}
