import type { Random } from '../../drivers/simulated/seeded.ts';

const TEXT = ' +-.,;:?/[]0123456789STUSOLGNDEHXgkctmozlb%';

const pick = (random: Random, size: number): number => Math.floor(random() * size);

/** One or more of the harms a line meets: flipped bits, lost, doubled, swapped, glued, torn, replaced characters. */
export function mutate(line: string, others: readonly string[], random: Random): string {
  let text = line;
  for (let harms = 1 + pick(random, 3); harms > 0; harms--) {
    const at = pick(random, text.length + 1);
    const one = text.charCodeAt(at) || 0x20;
    const harm = [
      () => text.slice(0, at) + String.fromCharCode(one ^ (1 << pick(random, 8))) + text.slice(at + 1),
      () => text.slice(0, at) + text.slice(at + 1),
      () => text.slice(0, at) + text.slice(at, at + 1) + text.slice(at),
      () => text.slice(0, at) + text.slice(at + 1, at + 2) + text.slice(at, at + 1) + text.slice(at + 2),
      () => text.slice(0, at) + TEXT.charAt(pick(random, TEXT.length)) + text.slice(at + 1),
      () => text.slice(0, at) + TEXT.charAt(pick(random, TEXT.length)) + text.slice(at),
      () => text.slice(at) + (others[pick(random, others.length)] ?? ''),
      () => text.slice(0, at) + (others[pick(random, others.length)] ?? '').slice(pick(random, 12)),
      () => text.slice(at),
      () => text.slice(0, at),
      () => text.slice(0, at) + String.fromCharCode(pick(random, 256)) + text.slice(at),
    ][pick(random, 11)];
    if (harm !== undefined) text = harm();
  }
  return text;
}
