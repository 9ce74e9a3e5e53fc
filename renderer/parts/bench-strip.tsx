import type { BenchRow } from '../../electron/host/table.ts';
import { CheckMark } from '../care/check-line.tsx';
import { benches, benchName, goToBench, machineBench, type Standing, standings } from '../state/benches.ts';
import { benchId } from '../state/host.ts';
import { screen } from '../state/route.ts';
import { LinkShape, MarkShape } from './shapes.tsx';

interface CellProps {
  readonly row: BenchRow;
  readonly now: Standing | undefined;
  /** Its batch fills the window: what is poured there is not told twice. */
  readonly filled: boolean;
}

/** What the bench is at: the line with its figure and word, or its balance where nothing is poured. */
function Now({ row, now, filled }: CellProps) {
  if (row.lesson !== null) return <span class="strip-title">{row.lesson}</span>;
  if (row.batch === null || now === undefined || filled)
    return (
      <>
        <span class="strip-title">{row.batch?.name ?? 'no batch'}</span>
        <span class="strip-now">
          <LinkShape link={row.link} />
          {filled && row.batch !== null && <CheckMark />}
        </span>
      </>
    );
  return (
    <>
      <span class="strip-title">{now.title}</span>
      <span class="strip-now">
        <b class="strip-figure" data-drawn={now.solid ? 'solid' : 'hollow'}>
          {now.figure}
        </b>
        <span class="strip-unit">{now.unit}</span>
        <span class="strip-word">
          {now.state !== 'approach' && now.state !== 'none' && <MarkShape mark={now.state} />}
          {now.word}
        </span>
      </span>
    </>
  );
}

/** Several benches side by side: where each is at this moment, and the way to it. The window is at one of them. */
export function BenchStrip() {
  if (benches.value.length < 2) return null;
  const here = machineBench(benchId.value);
  return (
    <nav aria-label="Benches">
      <fieldset class="bench-strip">
        <legend class="unseen">Bench</legend>
        {benches.value.map((row) => {
          const { id, batch } = row;
          const now = standings.value[id];
          return (
            <label key={id} data-here={id === here} data-stop={now?.stop === true}>
              <input
                type="radio"
                name="bench"
                aria-label={`${benchName(id)}${batch === null ? '' : `, ${batch.name}`}`}
                checked={id === here}
                onChange={() => void goToBench(id)}
              />
              <span class="strip-number">{id}</span>
              <Now row={row} now={now} filled={id === here && screen.value === 'pour'} />
            </label>
          );
        })}
      </fieldset>
    </nav>
  );
}
