import type { ChoiceView } from '../../electron/host/table.ts';
import { keyLabel } from '../figures/keys.ts';
import { tied } from '../figures/tied.ts';
import { keepFocus } from '../parts/press.tsx';
import { choices } from '../state/bench.ts';
import { primary, take } from '../state/doing.ts';
import { connection } from '../state/host.ts';

function Card({ choice, first }: { choice: ChoiceView; first: boolean }) {
  return (
    <button
      type="button"
      class={`choice${first ? ' first' : ''}`}
      disabled={!choice.possible || connection.value !== 'open'}
      aria-keyshortcuts={choice.key === '' ? undefined : choice.key}
      title={choice.points.join('\n')}
      onMouseDown={keepFocus}
      onClick={() => take(choice)}
    >
      {choice.key !== '' && (
        <span class="key" aria-hidden="true">
          {keyLabel(choice.key)}
        </span>
      )}
      <span class="choice-title">{choice.title}</span>
      <span class="choice-headline">{tied(choice.headline)}</span>
      <span class="choice-points">
        {choice.why !== null && <span class="choice-why">{choice.why}</span>}
        {choice.points.map((point) => (
          <span class="choice-point" key={point}>
            {tied(point)}
          </span>
        ))}
      </span>
    </button>
  );
}

/** The three that are always there; what else applies stands below them, smaller. */
const ALWAYS: readonly ChoiceView['kind'][] = ['least', 'exact', 'keep'];

/** Over: the choices at once, each with what it costs. */
export function Choices() {
  const always = choices.value.filter((one) => ALWAYS.includes(one.kind));
  const further = choices.value.filter((one) => !ALWAYS.includes(one.kind));
  return (
    <section class="ways" aria-label="How to go on">
      <div class="choices">
        {always.map((choice) => (
          <Card key={choice.kind} choice={choice} first={primary.value?.choice === choice.kind} />
        ))}
      </div>
      {further.length > 0 && (
        <div class="further">
          {further.map((choice) => (
            <Card key={choice.kind} choice={choice} first={false} />
          ))}
        </div>
      )}
    </section>
  );
}
