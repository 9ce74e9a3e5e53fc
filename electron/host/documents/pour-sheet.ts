import { Decimal, decimal, decimalsOf, fixed, inwards } from '../../../core/quantity/decimal.ts';
import type { Drawn } from '../planning.ts';

/** What a sheet says of one line; masses in g, the window's edges rounded inwards. */
interface Row {
  readonly no: string;
  readonly title: string;
  readonly lot: string;
  readonly target: string;
  readonly window: string;
  readonly cautions: readonly string[];
}

const escaped = (text: string): string =>
  text.replaceAll('&', '&amp;').replaceAll('<', '&lt;').replaceAll('>', '&gt;').replaceAll('"', '&quot;');

function rowsOf({ plan }: Drawn, decimals: number): Row[] {
  return plan.steps.map((step, at) => {
    const target = decimal(step.target);
    const { low, high } = inwards(Decimal.max(target.minus(step.half), 0), target.plus(step.half), decimals);
    return {
      no: String(at + 1),
      title: step.title,
      lot: step.lot,
      target: fixed(target, decimals),
      window: `${low} to ${high}`,
      cautions: step.cautions,
    };
  });
}

/** Space for a figure by hand. */
const BLANK = '________';

function textOf({ formula, plan }: Drawn, rows: readonly Row[]): string {
  const lines = rows.flatMap(({ no, title, lot, target, window, cautions }) => [
    `${no}. ${title}   lot ${lot}`,
    `   target ${target} g, window ${window} g`,
    ...cautions.map((text) => `   Caution: ${text}`),
    `   before ${BLANK} g   after ${BLANK} g   net ${BLANK} g`,
    '',
  ]);
  return [
    `Pour sheet: ${formula.name}, ${plan.total} g`,
    `Poured by ${BLANK}${BLANK}   on ${BLANK}   balance ${BLANK}${BLANK}`,
    '',
    `Empty vessel ${BLANK} g`,
    '',
    ...lines,
    `Vessel and batch at the end ${BLANK} g`,
    'Do not tare between lines; where it was tared, write before and after.',
    '',
  ].join('\n');
}

const STYLE =
  'body{font:12pt sans-serif;margin:15mm}table{border-collapse:collapse;width:100%}' +
  'th,td{border-bottom:1px solid #999;padding:8px 6px;text-align:left;vertical-align:top}' +
  'td.n,th.n{text-align:right}td.w{min-width:22mm}small{display:block;color:#444}@page{size:A4}';

function htmlOf({ formula, plan }: Drawn, rows: readonly Row[]): string {
  const body = rows.map(({ no, title, lot, target, window, cautions }) => {
    const said = cautions.map((text) => `<small>${escaped(text)}</small>`).join('');
    return `<tr><td>${no}</td><td>${escaped(title)}${said}</td><td>${escaped(lot)}</td><td class="n">${target}</td><td class="n">${window}</td><td class="w"></td><td class="w"></td><td class="w"></td></tr>`;
  });
  const name = escaped(formula.name);
  return `<!doctype html>
<html lang="en"><head><meta charset="utf-8"><title>Pour sheet: ${name}</title><style>${STYLE}</style></head>
<body><h1>${name}, ${plan.total} g</h1>
<p>Poured by ${BLANK}${BLANK} on ${BLANK}, balance ${BLANK}${BLANK}. Empty vessel ${BLANK} g.</p>
<table><thead><tr><th></th><th>Line</th><th>Lot</th><th class="n">Target, g</th><th class="n">Window, g</th><th>Before, g</th><th>After, g</th><th>Net, g</th></tr></thead>
<tbody>
${body.join('\n')}
</tbody></table>
<p>Vessel and batch at the end ${BLANK} g. Do not tare between lines; where it was tared, write before and after.</p>
</body></html>
`;
}

/** A sheet as a window shows it, as a page of its own, and as plain text. */
interface PourSheet {
  readonly name: string;
  readonly title: string;
  readonly rows: (Omit<Row, 'cautions'> & { readonly cautions: string[] })[];
  readonly html: string;
  readonly text: string;
}

/** A file name of letters, digits and hyphens. */
const fileName = (name: string): string =>
  name
    .toLowerCase()
    .replaceAll(/[^\p{L}\p{N}]+/gu, '-')
    .replaceAll(/^-|-$/g, '') || 'formula';

/**
 * A sheet to carry where no computer goes: every line with target and window in g at the balance's own decimals, its
 * cautions, and room for what the display shows; as a page to print and as plain text.
 * @param d display step of the balance, g
 */
export function pourSheet(drawn: Drawn, d: string): PourSheet {
  const rows = rowsOf(drawn, decimalsOf(d));
  return {
    name: `pour-sheet-${fileName(drawn.formula.name)}`,
    title: `${drawn.formula.name}, ${drawn.plan.total} g`,
    rows: rows.map((row) => ({ ...row, cautions: [...row.cautions] })),
    html: htmlOf(drawn, rows),
    text: textOf(drawn, rows),
  };
}
