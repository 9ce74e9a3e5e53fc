import type { RecordView } from '../../electron/host/table.ts';
import { momentText } from '../figures/moment.ts';
import { percentText } from '../figures/percent.ts';
import { foundRows } from '../state/finding.ts';
import { type Comparison, comparison, layBeside } from '../state/over-all.ts';
import { Heads } from './heads.tsx';

type Pair = Comparison['total'];
type Written = (figure: string) => string;

const grams: Written = (figure) => `${figure} g`;
const percent: Written = (figure) => percentText(figure, 3);
/** Digits after the point of the finer of two figures. */
const placesOf = ({ a, b }: Pick<Pair, 'a' | 'b'>): number =>
  Math.max(...[a, b].map((figure) => figure?.split('.')[1]?.length ?? 0));
const shown = (figure: string | null, written: Written): string => (figure === null ? '–' : written(figure));

/** A difference with its sign; what rounds to zero has none. */
function differenceText({ difference, ...pair }: Pair, written: Written): string {
  if (difference === null) return '–';
  const text = written(Math.abs(Number(difference)).toFixed(placesOf(pair)));
  const sign = Number.parseFloat(text) === 0 ? '' : Number(difference) < 0 ? '−' : '+';
  return `${sign}${text}`;
}

function Row({ name, pair, written }: { name: string; pair: Pair; written: Written }) {
  return (
    <tr>
      <th scope="row">{name}</th>
      <td class="mass">{shown(pair.a, written)}</td>
      <td class="mass">{shown(pair.b, written)}</td>
      <td class="mass">{differenceText(pair, written)}</td>
      <td class={pair.apart === true ? 'exceeded' : ''}>
        {pair.apart === null ? 'in one only' : pair.apart ? '▲ more than both U' : '● within both U'}
      </td>
    </tr>
  );
}

function Beside({ told, other }: { told: Comparison; other: string }) {
  const { both, onlyA, onlyB } = told.lots;
  const lots = (codes: readonly string[]): string => (codes.length === 0 ? 'none' : codes.join(', '));
  return (
    <>
      {!told.sameFormula && <p>The two were poured by different formulas.</p>}
      <table>
        <caption>Side by side</caption>
        <Heads
          of={[
            'What',
            { figures: 'This batch' },
            { figures: other },
            { figures: 'Difference' },
            'Against U (k = 2)',
          ]}
        />
        <tbody>
          <Row name="poured in all" pair={told.total} written={grams} />
          <Row name="strength as made" pair={told.strength} written={percent} />
          {told.lines.map((line) => (
            <Row key={line.line} name={`poured of ${line.title}`} pair={line} written={grams} />
          ))}
          {told.composition.map((one) => (
            <Row key={one.material} name={`${one.name}, by mass`} pair={one} written={percent} />
          ))}
        </tbody>
      </table>
      <p class="soft">
        Lots in both: {lots(both)}. Only in this batch: {lots(onlyA)}. Only in the other: {lots(onlyB)}.
      </p>
    </>
  );
}

/** Another batch of the list laid beside this one. */
export function Comparing({ record }: { record: RecordView }) {
  const others = foundRows.value.filter((row) => row.batch !== record.batch);
  const now = comparison.value?.a === record.batch ? comparison.value : null;
  return (
    <section class="traces" aria-labelledby="beside">
      <h3 id="beside" class="caption">
        Beside another batch
      </h3>
      <label class="trace-pick">
        Another batch of the list
        <select
          value={now?.b ?? ''}
          onChange={(event) => void layBeside(record.batch, event.currentTarget.value)}
        >
          <option value="">none</option>
          {others.map((row) => (
            <option key={row.batch} value={row.batch}>
              {row.name}, {momentText(row.started)}
            </option>
          ))}
        </select>
      </label>
      {now !== null && (
        <Beside
          told={now.told}
          other={momentText(others.find((row) => row.batch === now.b)?.started ?? 'The other')}
        />
      )}
    </section>
  );
}
