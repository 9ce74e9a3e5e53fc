/** A drop (grams) in milligrams, as it is written. */
export function dropText(grams: string): string {
  const mg = Number(grams) * 1000;
  return `${mg >= 10 ? mg.toFixed(0) : mg.toFixed(1)} mg`;
}
