import { useEffect, useRef } from 'preact/hooks';
import { momentText } from '../figures/moment.ts';
import { InPlace } from '../parts/in-place.tsx';
import { Press } from '../parts/press.tsx';
import {
  archive,
  archiveBusy,
  archiveDone,
  archiveTrouble,
  type Choice,
  choices,
  choose,
  openArchive,
  putArchiveAway,
  takeArchive,
} from '../state/archive.ts';
import { FileField } from './file-field.tsx';

type View = NonNullable<typeof archive.value>;

const says = (choice: Choice, called: View['called']): string =>
  choice === 'keep'
    ? 'keep what is here'
    : choice === 'take'
      ? `take what the ${called} tells`
      : 'keep both, the new one under another code';

function Item({ item, called }: { item: View['items'][number]; called: View['called'] }) {
  const { id, name, what } = item;
  const chosen = choices.value[id] ?? 'keep';
  return (
    <li>
      <fieldset class="choice-of">
        <legend>
          <b>{name}</b> <span class="soft">{what.join('; ')}</span>
        </legend>
        {item.choices.map((one) => (
          <label class="pick" key={one}>
            <input type="radio" name={id} checked={chosen === one} onChange={() => choose(id, one)} />
            {says(one, called)}
          </label>
        ))}
      </fieldset>
    </li>
  );
}

function Opened({ view }: { view: View }) {
  return (
    <section class="list-sheet" aria-label={`The ${view.called} ${view.name}`}>
      <p>
        {view.name}
        {view.made !== null && `, handed out ${momentText(view.made)}`}. {view.summary.join(' ')}
      </p>
      {view.refused.length > 0 && (
        <ul class="list-remarks" aria-label="Not taken">
          {view.refused.map((one) => (
            <li key={one} data-stops="true">
              <p>{one}</p>
            </li>
          ))}
        </ul>
      )}
      {view.items.length > 0 && (
        <section aria-labelledby="archive-differs">
          <h3 id="archive-differs" class="caption">
            Here already, and told otherwise in the {view.called}
          </h3>
          <ul class="differs">
            {view.items.map((item) => (
              <Item key={item.id} item={item} called={view.called} />
            ))}
          </ul>
        </section>
      )}
      <footer class="list-foot">
        <p class="soft">
          What is new is added, what is the same stays. Nothing here is overwritten unless you chose so above.
        </p>
        <p class="row">
          <Press primary disabled={archiveBusy.value} onPress={() => void takeArchive()}>
            Take the {view.called} in
          </Press>
          <Press onPress={putArchiveAway}>Put it away</Press>
        </p>
      </footer>
    </section>
  );
}

/** A workshop archive of another bench: opened, compared, and merged with what is here. */
export function ArchiveIn() {
  const result = useRef<HTMLDivElement>(null);
  const told = archiveTrouble.value ?? archive.value ?? archiveDone.value;
  /* What came of it stands below the field, which may be at the edge of the window. */
  useEffect(() => {
    if (told !== null) result.current?.scrollIntoView({ block: 'nearest' });
  }, [told]);
  return (
    <section class="archive-in" aria-labelledby="archive-in">
      <h2 id="archive-in">Take over from another workshop</h2>
      <p class="soft">
        What was handed out there: the archive of the whole workshop, with materials, bottles, formulas,
        records, trials and balances; or its Organ or its formulas as JSON, the Organ first.
      </p>
      <FileField
        label="Open an archive or a JSON file"
        accept=".zip,.json,application/zip,application/json"
        onFile={(given) => void openArchive(given)}
      />
      <div ref={result} class="archive-result">
        <InPlace id="archive-trouble" trouble={archiveTrouble.value} />
        <div role="status">
          {archiveDone.value !== null && <p class="brought">{archiveDone.value.join(' ')}</p>}
        </div>
        {archive.value !== null && <Opened view={archive.value} />}
      </div>
    </section>
  );
}
