import type { RecordView } from '../../electron/host/table.ts';
import { momentText } from '../figures/moment.ts';
import { InPlace } from '../parts/in-place.tsx';
import { Press } from '../parts/press.tsx';
import {
  type Amending,
  amend,
  amending,
  beginAmending,
  leaveAmending,
  writeAmendment,
} from '../state/amending.ts';

function Written({ record }: { record: RecordView }) {
  return (
    <>
      {record.amendments.map((one) => (
        <div class="amendment" key={one.n}>
          <p>{one.text}</p>
          <p class="amendment-by">
            {one.who}, <time dateTime={one.at}>{momentText(one.at)}</time>, because: {one.why}
          </p>
        </div>
      ))}
    </>
  );
}

function Writing({ now }: { now: Amending }) {
  const at = now.trouble?.where ?? null;
  const told = (field: string) =>
    at === field ? { 'aria-invalid': true, 'aria-describedby': 'told-amend' } : {};
  return (
    <form
      class="amend-fields"
      onSubmit={(event) => {
        event.preventDefault();
        void amend();
      }}
    >
      <label>
        Who
        <input
          type="text"
          autoComplete="off"
          maxLength={80}
          {...told('who')}
          value={now.who}
          onInput={(event) => writeAmendment({ who: event.currentTarget.value })}
        />
      </label>
      <label>
        Why
        <input
          type="text"
          autoComplete="off"
          maxLength={500}
          {...told('why')}
          value={now.why}
          onInput={(event) => writeAmendment({ why: event.currentTarget.value })}
        />
      </label>
      <label class="wide">
        What is added
        <textarea
          rows={3}
          maxLength={4000}
          {...told('text')}
          value={now.text}
          onInput={(event) => writeAmendment({ text: event.currentTarget.value })}
        />
      </label>
      <InPlace id="told-amend" trouble={now.trouble} />
      <div class="row">
        <button type="submit" class="press slim">
          Add it to the record
        </button>
        <Press slim onPress={leaveAmending}>
          Leave it
        </Press>
      </div>
    </form>
  );
}

/** What was added to the record of an ended batch, and the way to add more: nothing before it changes. */
export function Amendments({ record }: { record: RecordView }) {
  if (record.status === 'interrupted') return null;
  const now = amending.value;
  return (
    <section class="amending" aria-labelledby="amendments">
      <h3 id="amendments" class="caption">
        Amendments
      </h3>
      <Written record={record} />
      {now?.batch === record.batch ? (
        <Writing now={now} />
      ) : (
        <div class="row">
          <Press slim onPress={() => beginAmending(record.batch, record.operator)}>
            Amend
          </Press>
          <span class="soft">A note or a correction is added; what was written stays.</span>
        </div>
      )}
    </section>
  );
}
