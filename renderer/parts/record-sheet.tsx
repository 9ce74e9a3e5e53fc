import type { RecordView } from '../../electron/host/table.ts';
import { clockText, momentText } from '../figures/moment.ts';
import { exported, exportRecord } from '../state/records.ts';
import { download } from './download.ts';
import { Press } from './press.tsx';
import { MarkShape, markWord } from './shapes.tsx';
import { Workings } from './workings.tsx';

function Lines({ record }: { record: RecordView }) {
  return (
    <table>
      <caption>Lines</caption>
      <thead>
        <tr>
          <th scope="col">Line</th>
          <th scope="col">Lot</th>
          <th scope="col" class="mass">
            Target
          </th>
          <th scope="col" class="mass">
            Poured
          </th>
          <th scope="col" class="mass">
            Deviation
          </th>
          <th scope="col">Mark</th>
        </tr>
      </thead>
      <tbody>
        {record.lines.map((line) => (
          <tr key={line.line}>
            <th scope="row">{line.title}</th>
            <td class="soft">{line.lot}</td>
            <td class="mass">{line.target} g</td>
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

function Composition({ record }: { record: RecordView }) {
  return (
    <table>
      <caption>Composition</caption>
      <thead>
        <tr>
          <th scope="col">Material</th>
          <th scope="col">Kind</th>
          <th scope="col" class="mass">
            As made
          </th>
          <th scope="col" class="mass">
            Target
          </th>
        </tr>
      </thead>
      <tbody>
        {record.composition.map((part) => (
          <tr key={part.material}>
            <th scope="row">{part.material}</th>
            <td class="soft">{part.kind}</td>
            <td class="mass">
              <b>{part.percent}</b>
              <small>{part.u}</small>
            </td>
            <td class="mass soft">{part.target}</td>
          </tr>
        ))}
      </tbody>
    </table>
  );
}

function Events({ record }: { record: RecordView }) {
  return (
    <section aria-labelledby="events">
      <h3 id="events" class="caption">
        Events
      </h3>
      <ol class="events">
        {record.events.map((event) => (
          <li key={event.n}>
            <span class="soft">{event.n}</span>
            <time dateTime={event.at} class="soft">
              {clockText(event.at)}
            </time>
            <span>{event.text}</span>
          </li>
        ))}
      </ol>
    </section>
  );
}

function Estimates({ record: { estimates } }: { record: RecordView }) {
  if (estimates === null) return null;
  return (
    <section class="estimates" aria-label="Estimates">
      <dl class="ledger">
        <div>
          <dt>volume, estimated</dt>
          <dd>{estimates.volume}</dd>
        </div>
        <div>
          <dt>ethanol, estimated</dt>
          <dd>{estimates.ethanol}</dd>
        </div>
        <div>
          <dt>density, estimated</dt>
          <dd>{estimates.density}</dd>
        </div>
      </dl>
      <p class="soft">{estimates.note}</p>
    </section>
  );
}

function Exports({ batch }: { batch: string }) {
  return (
    <div class="row">
      <Press slim onPress={() => void exportRecord(batch, 'json', download)}>
        Export JSON
      </Press>
      <Press slim onPress={() => void exportRecord(batch, 'csv', download)}>
        Export CSV
      </Press>
      <span role="status" class="soft">
        {exported}
      </span>
    </div>
  );
}

/** One record whole: how it was made, its lines with their deviations, composition, events, and whether it verifies. */
export function RecordSheet({ record }: { record: RecordView }) {
  return (
    <section class="paper record" aria-labelledby="record-name">
      <header>
        <h2 id="record-name">{record.name}</h2>
        <p class="soft">
          begun {momentText(record.started)} · poured by: {record.operator} · {record.balance}
        </p>
        {record.status !== 'closed' && <p class={`status ${record.status}`}>{record.status}</p>}
      </header>
      <dl class="ledger">
        <div>
          <dt>strength as made</dt>
          <dd>
            {record.strength.asMade}
            <small>U {record.strength.u} (k = 2)</small>
          </dd>
        </div>
        <div>
          <dt>target strength</dt>
          <dd>{record.strength.target}</dd>
        </div>
        <div>
          <dt>poured in all</dt>
          <dd>{record.total === null ? '–' : `${record.total} g`}</dd>
        </div>
        <div>
          <dt>closure</dt>
          <dd>{record.closure === null ? '–' : `${record.closure} g`}</dd>
        </div>
        <div>
          <dt>cost</dt>
          <dd>{record.cost}</dd>
        </div>
      </dl>
      {record.closureText !== null && <p class="soft">{record.closureText}</p>}
      <p class={record.verified.ok ? 'verified' : 'verified failed'}>{record.verified.text}</p>
      <Exports batch={record.batch} />
      <Workings title="How the strength was got" lines={record.strength.workings} />
      <Estimates record={record} />
      <Lines record={record} />
      <Composition record={record} />
      <Events record={record} />
    </section>
  );
}
