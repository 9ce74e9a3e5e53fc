import { useSignal } from '@preact/signals';
import { useEffect } from 'preact/hooks';
import { momentText } from '../figures/moment.ts';
import { Form, LongText, TextField } from '../parts/form.tsx';
import { InPlace } from '../parts/in-place.tsx';
import { Press } from '../parts/press.tsx';
import { operator } from '../state/preferences.ts';
import {
  dipBlotter,
  letGo,
  mature,
  noteTrial,
  openTrial,
  type Trial,
  trial,
  trialTrouble,
} from '../state/trials.ts';

type Blotter = Trial['blotters'][number];
type Time = Blotter['times'][number];

const STATE_WORDS = { waits: '– waits', due: '◆ due', noted: '● noted', 'let go': '× let go' } as const;
const USUAL_TIMES = '15 min, 1 h, 4 h, 24 h';

const troubleOf = (doing: string) =>
  trialTrouble.value?.doing === doing ? trialTrouble.value.trouble : null;

/** A moment as a field of day and time takes it, in the window's own zone. */
function fieldMoment(moment: Date): string {
  const local = new Date(moment.getTime() - moment.getTimezoneOffset() * 60_000);
  return local.toISOString().slice(0, 16);
}

/** What a note is of: a time of a blotter, the matured batch, or the batch as such. */
interface Of {
  readonly label: string;
  readonly blotter?: string;
  readonly minute?: number;
  readonly matured?: boolean;
}

function NoteForm({ batch, of, onDone }: { batch: string; of: Of; onDone: () => void }) {
  const text = useSignal('');
  const who = useSignal(operator.value);
  const { label, ...input } = of;
  const save = async () => {
    if (await noteTrial({ batch, who: who.value, text: text.value, ...input })) onDone();
  };
  return (
    <Form name={`Note, ${label}`} onSubmit={() => void save()}>
      <TextField
        label="Who"
        value={who.value}
        maxLength={80}
        onInput={(value) => {
          who.value = value;
        }}
      />
      <LongText
        label={`What you smell, ${label}`}
        wide
        value={text.value}
        onInput={(value) => {
          text.value = value;
        }}
      />
      <InPlace id="told-note" trouble={troubleOf('note')} />
      <div class="row">
        <button type="submit" class="press slim">
          Keep the note
        </button>
        <Press slim onPress={onDone}>
          Leave it
        </Press>
      </div>
    </Form>
  );
}

function Times({ batch, blotter, onNote }: { batch: string; blotter: Blotter; onNote: (of: Of) => void }) {
  const of = (time: Time): Of => ({
    label: `${blotter.name}, after ${time.after}`,
    blotter: blotter.id,
    minute: time.minute,
  });
  return (
    <table>
      <caption>
        {blotter.name}, dipped {momentText(blotter.at)}
      </caption>
      <tbody>
        {blotter.times.map((time) => (
          <tr key={time.minute}>
            <th scope="row">after {time.after}</th>
            <td class="soft">{momentText(time.due)}</td>
            <td class="marked">{STATE_WORDS[time.state]}</td>
            <td class="row">
              <Press slim onPress={() => onNote(of(time))}>
                Note after {time.after}
              </Press>
              {time.state === 'due' && (
                <Press slim onPress={() => void letGo(batch, blotter.id, time.minute)}>
                  Let it go
                </Press>
              )}
            </td>
          </tr>
        ))}
      </tbody>
    </table>
  );
}

function Dip({ batch }: { batch: string }) {
  const name = useSignal('');
  const at = useSignal(fieldMoment(new Date()));
  const times = useSignal(USUAL_TIMES);
  const dip = async () => {
    if (await dipBlotter(batch, { name: name.value, at: at.value, times: times.value })) name.value = '';
  };
  return (
    <Form name="Dip a blotter" onSubmit={() => void dip()}>
      <TextField
        label="On the blotter (optional)"
        value={name.value}
        maxLength={80}
        onInput={(value) => {
          name.value = value;
        }}
      />
      <label class="field">
        Dipped at
        <input
          type="datetime-local"
          value={at.value}
          onInput={(event) => {
            at.value = event.currentTarget.value;
          }}
        />
      </label>
      <TextField
        label="Smelled after"
        value={times.value}
        hint="own times too: 20 min, 2 h, 3 d"
        onInput={(value) => {
          times.value = value;
        }}
      />
      <InPlace id="told-dip" trouble={troubleOf('dip')} />
      <div class="row">
        <button type="submit" class="press slim">
          A blotter is dipped
        </button>
      </div>
    </Form>
  );
}

function Maturing({ now, onNote }: { now: Trial; onNote: (of: Of) => void }) {
  const { matures } = now;
  return (
    <div class="maturing row">
      <label class="field">
        Matured on
        <input
          type="date"
          value={matures?.on ?? ''}
          onChange={(event) => void mature(now.batch, event.currentTarget.value || null)}
        />
      </label>
      {matures !== null && <span class="marked">{STATE_WORDS[matures.state]}</span>}
      {matures !== null && matures.state !== 'noted' && (
        <Press slim onPress={() => onNote({ label: 'matured', matured: true })}>
          Note of the matured batch
        </Press>
      )}
      <InPlace id="told-mature" trouble={troubleOf('mature')} />
    </div>
  );
}

/** Notes of a trial, the oldest first, with who and when. */
export function TrialNotes({ notes }: { notes: Trial['notes'] }) {
  if (notes.length === 0) return null;
  return (
    <ul class="trial-notes" aria-label="Notes">
      {notes.map((note) => (
        <li class="amendment" key={note.n}>
          <p>{note.text}</p>
          <p class="amendment-by">
            {note.of !== '' && `${note.of} · `}
            {note.who}, <time dateTime={note.at}>{momentText(note.at)}</time>
          </p>
        </li>
      ))}
    </ul>
  );
}

/** Blotters of a finished batch, when they are smelled, when it has matured, and what was noted. */
export function Trials({ batch }: { batch: string }) {
  useEffect(() => void openTrial(batch), [batch]);
  const noting = useSignal<Of | null>(null);
  const now = trial.value;
  if (now === null || now.batch !== batch) return null;
  const note = (of: Of) => {
    noting.value = of;
  };
  return (
    <section class="trials" aria-labelledby="trials">
      <h3 id="trials" class="caption">
        Trials on blotters
      </h3>
      <TrialNotes notes={now.notes} />
      {now.blotters.map((blotter) => (
        <Times key={blotter.id} batch={batch} blotter={blotter} onNote={note} />
      ))}
      {noting.value === null ? (
        <div class="row">
          <Press slim onPress={() => note({ label: 'the batch' })}>
            A note of the batch
          </Press>
          <span class="soft">Notes are only ever added; none is changed.</span>
        </div>
      ) : (
        <NoteForm
          key={noting.value.label}
          batch={batch}
          of={noting.value}
          onDone={() => {
            noting.value = null;
          }}
        />
      )}
      <Maturing now={now} onNote={note} />
      <Dip batch={batch} />
    </section>
  );
}
