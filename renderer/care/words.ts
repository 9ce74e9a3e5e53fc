import type { CheckKind } from '../state/care.ts';

/** The checks, each with what it tells. */
export const CHECKS: readonly { readonly kind: CheckKind; readonly title: string; readonly tells: string }[] =
  [
    {
      kind: 'daily',
      title: 'Daily check',
      tells: 'Zero, a check weight, zero again: does the balance still tell the truth? Under a minute.',
    },
    {
      kind: 'repeatability',
      title: 'Repeatability',
      tells:
        'The same load, 5 to 10 times: how far apart are the figures? The s it measures counts in every plan and every uncertainty.',
    },
    {
      kind: 'eccentricity',
      title: 'Eccentricity',
      tells:
        'A load of about a third of the capacity on the middle and at four corners: does the place matter?',
    },
    {
      kind: 'linearity',
      title: 'Linearity',
      tells: 'Several check weights from small to large: is it as true at 10 g as at 150 g?',
    },
    {
      kind: 'drift',
      title: 'Drift',
      tells:
        'A load that stays for ten minutes: does the figure walk away? It can be ended early, and says so.',
    },
    {
      kind: 'drops',
      title: 'Smallest drop seen',
      tells: 'Drops one at a time into a vessel: can each be told by its step, or only by the mass of many?',
    },
  ];
