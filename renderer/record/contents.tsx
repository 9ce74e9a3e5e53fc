import { useSignal } from '@preact/signals';
import { useId } from 'preact/hooks';
import type { RecordView } from '../../electron/host/table.ts';
import { Strip, Swatch } from '../formula/picture.tsx';
import { HowGot, Opens } from '../parts/opens.tsx';
import { MarkShape, markWord } from '../parts/shapes.tsx';
import { lotCode, whereWent } from '../state/over-all.ts';
import { fragmentOf } from '../state/route.ts';
import { Heads } from './heads.tsx';

/** A longer code is broken where it must be. */
const SHORT_CODE = 16;

function Lines({ record }: { record: RecordView }) {
  return (
    <table>
      <caption>Lines</caption>
      <Heads
        of={[
          'Line',
          'Lot',
          { figures: 'Target, window' },
          { figures: 'Poured, U (k = 2)' },
          { figures: 'Deviation' },
          'Mark',
        ]}
      />
      <tbody>
        {record.lines.map((line) => (
          <tr key={line.line}>
            <th scope="row">{line.title}</th>
            <td class={line.lot.length > SHORT_CODE ? 'soft' : 'soft code'}>{line.lot}</td>
            <td class="mass">
              {line.target} g<small>{line.window}</small>
            </td>
            <td class="mass">
              <b>{line.poured} g</b>
              <small>{line.u}</small>
            </td>
            <td class="mass">
              {line.deviation} g
              <small>
                {line.percent}, {line.drops} drops
              </small>
            </td>
            <td class="marked">
              <MarkShape mark={line.mark} /> {markWord(line.mark)}
            </td>
          </tr>
        ))}
      </tbody>
    </table>
  );
}

type PartView = RecordView['composition'][number];

function Part({ part, at, bar }: { part: PartView; at: number; bar: string }) {
  const id = `part-${at}`;
  const open = useSignal(false);
  return (
    <tbody>
      <tr class={open.value ? 'opened' : ''}>
        <th scope="row">
          <Swatch id={bar} at={at} />
          {part.material}
        </th>
        <td class="soft">{part.kind}</td>
        <td class="mass">
          <b>
            <Opens figure={part.percent} of={part.material} open={open} controls={id} />
          </b>
        </td>
        <td class="mass">{part.u}</td>
        <td class="mass soft">{part.target}</td>
      </tr>
      <tr id={id} class="got" hidden={!open.value}>
        <td colSpan={5}>{open.value && <HowGot lines={part.workings} />}</td>
      </tr>
    </tbody>
  );
}

function Composition({ record }: { record: RecordView }) {
  const bar = useId();
  const heading = useId();
  const parts = record.composition.map(({ material, percent, u, fraction }) => ({
    name: material,
    percent: `${percent} ${u}`,
    share: Number(fraction),
  }));
  return (
    <section class="share-bar composition" aria-labelledby={heading}>
      <h3 id={heading} class="caption">
        Composition
      </h3>
      {record.total !== null && <Strip id={bar} name="Composition as made" parts={parts} />}
      <table aria-labelledby={heading}>
        <Heads
          of={['Material', 'Kind', { figures: 'As made' }, { figures: 'U (k = 2)' }, { figures: 'Target' }]}
        />
        {record.composition.map((part, at) => (
          <Part key={part.material} part={part} at={at} bar={bar} />
        ))}
      </table>
    </section>
  );
}

function LotsUsed({ record }: { record: RecordView }) {
  if (record.lots.length === 0) return null;
  return (
    <table>
      <caption>Lots used</caption>
      <Heads of={['Lot', 'Name', { figures: 'Taken' }, 'Other batches']} />
      <tbody>
        {record.lots.map((one) => (
          <tr key={one.lot}>
            <th scope="row">{one.lot}</th>
            <td>{one.name}</td>
            <td class="mass">{one.mass} g</td>
            <td>
              <a
                href={fragmentOf('records')}
                onClick={() => {
                  lotCode.value = one.lot;
                  void whereWent();
                }}
              >
                where it went
              </a>
            </td>
          </tr>
        ))}
      </tbody>
    </table>
  );
}

/** What is in the bottle: the lines as poured, the composition they make, and the lots they came from. */
export function Contents({ record }: { record: RecordView }) {
  return (
    <>
      <Lines record={record} />
      <Composition record={record} />
      <LotsUsed record={record} />
    </>
  );
}
