/** A mass fraction in per cent, to `decimals` places. */
export function percentText(fraction: string, decimals = 2): string {
  return `${(Number(fraction) * 100).toFixed(decimals)} %`;
}

/** An uncertainty given as a mass fraction, in per cent, to two significant digits. */
export function spreadText(fraction: string): string {
  const value = Number(fraction) * 100;
  if (value === 0) return '0 %';
  const decimals = Math.max(0, 1 - Math.floor(Math.log10(value)));
  return `${value.toFixed(decimals)} %`;
}
