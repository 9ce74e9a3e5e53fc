import type { RecordView } from '../../electron/host/table.ts';
import { clockText, momentText } from '../figures/moment.ts';
import { practiceHref } from '../state/practice.ts';
import { AdoptAsMade } from './adopting.tsx';
import { Amendments } from './amending.tsx';
import { Comparing } from './comparing.tsx';
import { Contents } from './contents.tsx';
import { Declaration } from './declaring.tsx';
import { HandingOver } from './handing-over.tsx';
import { Estimates, Made } from './made.tsx';
import { ShelfOffer } from './shelving.tsx';
import { TracesOf } from './traces.tsx';
import { Trials } from './trials.tsx';

function Told({ events }: { events: RecordView['events'] }) {
  return (
    <ol class="events">
      {events.map((event) => (
        <li key={event.n}>
          <span class="soft">{event.n}</span>
          <time dateTime={event.at} class="soft">
            {clockText(event.at)}
          </time>
          <span>{event.text}</span>
        </li>
      ))}
    </ol>
  );
}

/** What a reader looks for among the events: corrections, voids, interruptions, what disturbed the weighing. */
function NotAsPlanned({ record: { notAsPlanned, status } }: { record: RecordView }) {
  return (
    <section aria-labelledby="not-as-planned">
      <h3 id="not-as-planned" class="caption">
        Not as planned
      </h3>
      {notAsPlanned.length > 0 && <Told events={notAsPlanned} />}
      {notAsPlanned.length === 0 && (
        <p class="soft">
          Nothing{status === 'closed' ? '' : ' so far'}: every event was that of a plain pour.
        </p>
      )}
    </section>
  );
}

function Cautions({ record: { cautions } }: { record: RecordView }) {
  if (cautions.length === 0) return null;
  return (
    <section aria-labelledby="cautions">
      <h3 id="cautions" class="caption">
        Cautions
      </h3>
      <ul class="cautions">
        {cautions.map((one) => (
          <li key={one}>{one}</li>
        ))}
      </ul>
    </section>
  );
}

function Events({ record }: { record: RecordView }) {
  return (
    <section aria-labelledby="events">
      <h3 id="events" class="caption">
        Events
      </h3>
      <Told events={record.events} />
    </section>
  );
}

/** What came of a batch, the same at the bench and in Records. */
export function Outcome({ record }: { record: RecordView }) {
  return (
    <>
      <Made record={record} />
      {record.status === 'closed' && <ShelfOffer batch={record.batch} />}
      <Estimates record={record} />
      <Contents record={record} />
      {record.lots.length > 0 && <Declaration batch={record.batch} />}
    </>
  );
}

/** How the balance stood when the batch was begun. */
function BalanceChecked({ record: { check, serial } }: { record: RecordView }) {
  if (check === null)
    return (
      <p class="checked-by none">
        {serial !== null && `Balance serial number ${serial}. `}
        The balance was not checked, or not by this program.
      </p>
    );
  return (
    <p class={`checked-by ${check.overdue ? 'overdue' : ''} ${check.verdict}`}>
      {serial !== null && `Balance serial number ${serial}. `}
      {check.text}
      {check.overdue && check.at !== null && ' Overdue.'}
    </p>
  );
}

/** One record whole: how it was made, what it holds and would declare, its events, and whether it verifies. */
export function RecordSheet({ record }: { record: RecordView }) {
  return (
    <section class="paper record" aria-labelledby="record-name">
      <header>
        <h2 id="record-name">{record.name}</h2>
        <p class="soft">
          begun {momentText(record.started)} · poured by: {record.operator} · {record.balance}
        </p>
        <BalanceChecked record={record} />
        {record.status !== 'closed' && <p class={`status ${record.status}`}>{record.status}</p>}
      </header>
      <p class={record.verified.ok ? 'verified' : 'verified failed'}>{record.verified.text}</p>
      <HandingOver batch={record.batch} />
      <p>
        <a href={practiceHref('review', record.batch)}>Review as an exercise</a>
      </p>
      <Amendments record={record} />
      <NotAsPlanned record={record} />
      <Outcome record={record} />
      <Cautions record={record} />
      <AdoptAsMade batch={record.batch} />
      {record.status === 'closed' && <Trials batch={record.batch} />}
      <TracesOf record={record} />
      <Comparing record={record} />
      <Events record={record} />
    </section>
  );
}
