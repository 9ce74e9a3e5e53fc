import type { BalanceLimits } from '../../../core/formula/types.ts';
import type { LastCheck } from '../../../core/pour/events.ts';
import { stoppedText, unreadText } from '../care/kept.ts';
import type { BalanceProfile } from '../table-care.ts';
import type { ToldCheck } from './care-csv.ts';
import { INK, INNER, PAGE, Paper } from './paper.ts';
import { when } from './record-figures.ts';
import { facts } from './record-pdf.ts';

/** What the page tells besides the checks. */
export interface CarePage {
  readonly name: string;
  readonly knownBy: string;
  readonly profile: BalanceProfile;
  readonly limits: BalanceLimits;
  readonly from: Readonly<Record<keyof BalanceLimits, string>>;
  readonly check: LastCheck;
  /** The latest first. */
  readonly checks: readonly ToldCheck[];
  /** RFC 3339. */
  readonly printed: string;
}

const WORD = {
  pass: 'pass',
  doubtful: 'doubtful',
  fail: 'fail',
  stopped: 'stopped',
  unreadable: 'unreadable',
} as const;
const CHART_HIGH = 86;

interface Point {
  readonly at: number;
  readonly g: number;
  readonly low: number | null;
  readonly high: number | null;
}

const pointsOf = (checks: readonly ToldCheck[]): Point[] =>
  checks
    .flatMap(({ at, body }) =>
      body?.result == null
        ? []
        : [
            {
              at: Date.parse(at),
              g: Number(body.result.main.g),
              low: body.result.main.low === null ? null : Number(body.result.main.low),
              high: body.result.main.high === null ? null : Number(body.result.main.high),
            },
          ],
    )
    .toReversed();

/** What was found over time, each check as a dot between the limits that held for it. */
function chart(paper: Paper, points: readonly Point[], what: string): void {
  if (points.length < 2) return;
  const all = points.flatMap(({ g, low, high }) => [g, low ?? g, high ?? g, 0]);
  const [least, most] = [Math.min(...all), Math.max(...all)];
  const first = points[0]?.at ?? 0;
  const span = Math.max(1, (points.at(-1)?.at ?? 1) - first);
  paper.room(CHART_HIGH + 24);
  const top = paper.y + 12;
  const x = (at: number): number => PAGE.left + 46 + ((INNER - 56) * (at - first)) / span;
  const y = (g: number): number => top + CHART_HIGH - (CHART_HIGH * (g - least)) / (most - least || 1);
  const line = (of: (point: Point) => number | null, colour: string, dash: boolean): void => {
    const { page } = paper;
    let begun = false;
    for (const point of points) {
      const value = of(point);
      if (value === null) continue;
      if (begun) page.lineTo(x(point.at), y(value));
      else page.moveTo(x(point.at), y(value));
      begun = true;
    }
    if (!begun) return;
    page.lineWidth(0.8);
    if (dash) page.dash(3, { space: 2 });
    page.stroke(colour);
    page.undash();
  };
  line(({ low }) => low, INK.bad, true);
  line(({ high }) => high, INK.bad, true);
  line(({ g }) => g, INK.soft, false);
  for (const point of points) paper.page.circle(x(point.at), y(point.g), 2).fill(INK.good);
  const small = { size: 7, colour: INK.soft };
  paper.put(`${most} g`, PAGE.left, y(most) + 2, small);
  if (most > 0 && least < 0) paper.put('0 g', PAGE.left, y(0) + 2, small);
  paper.put(`${least} g`, PAGE.left, y(least) + 2, small);
  paper.y = top + CHART_HIGH + 4;
  paper.paragraph(`${what}, each check as a dot; broken lines are the limits that held for it.`, {
    size: 7.5,
  });
}

const foundIn = ({ n, at, body }: Omit<ToldCheck, 'title'>): string =>
  body === null ? unreadText({ n, at }) : (body.result?.text ?? stoppedText(body));

function section(paper: Paper, checks: readonly ToldCheck[]): void {
  const [latest] = checks;
  if (latest === undefined) return;
  paper.heading(latest.title, 120);
  const judged = checks.find((one) => one.body?.result != null)?.body?.result;
  if (judged != null) chart(paper, pointsOf(checks), judged.main.what);
  paper.table(
    [
      { title: 'No.', wide: 6, right: true },
      { title: 'Ended', wide: 22 },
      { title: 'Verdict', wide: 12 },
      { title: 'Found', wide: 74 },
    ],
    checks.map(({ n, at, body }) => {
      const verdict = WORD[body === null ? 'unreadable' : (body.result?.verdict ?? 'stopped')];
      const colour = verdict === 'pass' ? INK.good : verdict === 'fail' ? INK.bad : INK.soft;
      return [
        { text: String(n) },
        { text: when(at) },
        { text: verdict, colour, face: 'strong' as const },
        { text: foundIn({ n, at, body }) },
      ];
    }),
  );
  if (judged == null) return;
  paper.y += 4;
  for (const rule of judged.rules) paper.paragraph(rule, { size: 7.5, colour: INK.soft });
}

function factsOf({ name, knownBy, profile, limits, from }: CarePage): (readonly [string, string])[] {
  const said = (text: string): string => (text === '' ? 'not entered' : text);
  return [
    ['Balance', name],
    ['Serial number', said(profile.serial)],
    ['Place', said(profile.place)],
    ['Known by', knownBy],
    ['d', `${limits.d} g, ${from.d}`],
    ['Capacity', `${limits.capacity} g, ${from.capacity}`],
    [
      'e, class',
      `${profile.e === null ? 'e not known' : `e = ${profile.e} g`}, ${profile.balanceClass ?? 'class not known'}`,
    ],
    ['s', `${limits.s} g: ${from.s}`],
    ['c', `${limits.c}, ${from.c}`],
    ['Daily check', `due again after ${profile.dueHours} h`],
  ];
}

/** The care of a balance on A4: what it is, how it stands, and every check of it. */
export async function carePdf(page: CarePage): Promise<Buffer> {
  const paper = new Paper({
    title: `${page.name}: checks of the balance`,
    when: page.printed,
    keywords: 'checks of a balance',
  });
  paper.put('Checks of a balance', PAGE.left, PAGE.top + 10, { size: 9, colour: INK.soft });
  paper.y = PAGE.top + 14;
  paper.paragraph(page.name, { face: 'title', size: 20 });
  const { check } = page;
  const stands = check.verdict === 'pass' && !check.overdue;
  paper.paragraph(`${check.text}${check.overdue && check.at !== null ? ' Overdue.' : ''}`, {
    colour: stands ? INK.good : INK.bad,
    face: 'strong',
    after: 8,
  });
  facts(paper, factsOf(page));
  const kinds = [...new Set(page.checks.map((one) => one.title))];
  if (kinds.length === 0) paper.paragraph('No check was made yet.');
  for (const kind of kinds)
    section(
      paper,
      page.checks.filter((one) => one.title === kind),
    );
  return paper.end((number, of) => [`Printed ${when(page.printed)}`, `Pourwright · page ${number} of ${of}`]);
}
