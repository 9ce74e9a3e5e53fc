import { useSignal } from '@preact/signals';
import { useEffect, useId } from 'preact/hooks';
import type { Output } from '../../electron/host/table.ts';
import { Press } from '../parts/press.tsx';
import { askPort, fetchQuestions, find, shapes } from '../state/balance.ts';

/** The exact bytes of every sending, line settings that share a question on one line. */
function Sent({ questions }: { questions: Output<'balance.questions'> }) {
  const bytes = [...new Set(questions.map((one) => one.bytes))];
  return (
    <div class="sent">
      {bytes.map((one) => (
        <p key={one}>
          <code>{one}</code>{' '}
          <small>
            at{' '}
            {questions
              .filter((question) => question.bytes === one)
              .map((question) => question.line)
              .join(', ')}
          </small>
        </p>
      ))}
    </div>
  );
}

/** What the person knows of the lines of their balance: it narrows what would be sent. */
function KnownShape({ shape, pick }: { shape: string | null; pick: (shape: string | null) => void }) {
  return (
    <label>
      What its manual shows as a line
      <select
        value={shape ?? ''}
        onChange={(event) => pick(event.currentTarget.value === '' ? null : event.currentTarget.value)}
      >
        <option value="">I do not know</option>
        {shapes.value
          .filter((one) => one.asked)
          .map((one) => (
            <option key={one.name} value={one.name}>
              {one.sample.trim()} ({one.title})
            </option>
          ))}
      </select>
    </label>
  );
}

/** Where a port stayed silent: two further steps, the one that sends only after the person has read what and said yes. */
export function MayAsk({ path }: { path: string }) {
  const shape = useSignal<string | null>(null);
  const questions = useSignal<Output<'balance.questions'>>([]);
  const title = useId();
  useEffect(() => {
    void fetchQuestions(shape.value).then((told) => {
      questions.value = told;
    });
  }, [shape.value]);
  return (
    <section class="may-ask" aria-labelledby={title}>
      <h3 id={title}>May Pourwright ask the balance for its figure?</h3>
      <p class="soft">
        Only on your yes, and only these bytes, one after the other until something answers; each asks for the
        figure and, by the manuals known, changes nothing. Leave the pan at rest.
      </p>
      <KnownShape
        shape={shape.value}
        pick={(given) => {
          shape.value = given;
        }}
      />
      <Sent questions={questions.value} />
      {shape.value === null && (
        <p class="advice">
          Say no if its manual shows lines like <code>S 12.34g</code> without blanks to fill up, or warns
          against other characters: such a balance might take them for settings. If its manual writes commands
          with ESC, choose its line above, so that nothing else is sent.
        </p>
      )}
      <p class="row">
        <Press slim disabled={questions.value.length === 0} onPress={() => void askPort(path, shape.value)}>
          Yes, ask it
        </Press>
        <Press slim onPress={() => void find(path, true)}>
          No: listen while I press Print
        </Press>
      </p>
    </section>
  );
}
