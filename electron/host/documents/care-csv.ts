import { type CheckBody, unreadText } from '../care/kept.ts';
import { type CsvCell, csv, type DecimalSign, figure } from './csv.ts';

/** A check with its number and time, as the documents tell it. */
export interface ToldCheck {
  readonly n: number;
  readonly at: string;
  readonly title: string;
  /** Null where what is stored cannot be read. */
  readonly body: CheckBody | null;
}

const HEAD = [
  'check',
  'ended (UTC)',
  'kind',
  'verdict',
  'what',
  'taken (UTC)',
  'figure (g)',
  'low limit (g)',
  'high limit (g)',
  'remark',
];

/** One row for what a check found, one for each figure that was taken, and one for each sample of a watch. */
function rowsOf({ n, at, title, body }: ToldCheck): CsvCell[][] {
  if (body === null)
    return [
      [figure(String(n)), at, title, 'unreadable', unreadText({ n, at }), '', figure(null), '', '', ''],
    ];
  const { result, taken, samples } = body;
  const verdict = result?.verdict ?? 'stopped';
  const row = (what: string, time: string, g: string | null, more: readonly CsvCell[]): CsvCell[] => [
    figure(String(n)),
    at,
    title,
    verdict,
    what,
    time,
    figure(g),
    ...more,
  ];
  const found =
    result === null
      ? []
      : [
          row(result.main.what, '', result.main.g, [
            figure(result.main.low),
            figure(result.main.high),
            result.text,
          ]),
        ];
  const s =
    result?.s === undefined
      ? []
      : [
          row('standard deviation s', '', result.s.g, [
            '',
            '',
            `n = ${result.s.n}, standard uncertainty ${result.s.u} g`,
          ]),
        ];
  const start = taken.at(-1)?.at ?? Date.parse(at);
  return [
    ...found,
    ...s,
    ...taken.map((one) =>
      row(one.label, new Date(one.at).toISOString(), one.g, [
        '',
        '',
        one.void === undefined
          ? [one.rule, ...(one.odd === undefined ? [] : [one.odd])].join('; ')
          : `does not count: ${one.void}`,
      ]),
    ),
    ...samples.map(([after, g]) => row('watched', new Date(start + after).toISOString(), g, ['', '', ''])),
  ];
}

/** Every check of a balance with all that was read for it, as CSV. */
export const careCsv = (checks: readonly ToldCheck[], sign: DecimalSign): string =>
  csv([HEAD, ...checks.flatMap(rowsOf)], sign);
