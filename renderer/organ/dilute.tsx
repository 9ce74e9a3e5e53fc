import { useEffect } from 'preact/hooks';
import type { PlanView } from '../../electron/host/table.ts';
import { Form, Pick, TextField } from '../parts/form.tsx';
import { InPlace } from '../parts/in-place.tsx';
import { Press } from '../parts/press.tsx';
import { SurenessShape } from '../parts/shapes.tsx';
import { underWay } from '../state/bench.ts';
import { beginDilution, changeDilution, type Diluting, diluting, takeDilution } from '../state/diluting.ts';
import { wrongAt } from '../state/field-problems.ts';
import { choices, fetchChoices, standing } from '../state/organ.ts';
import { fragmentOf } from '../state/route.ts';

const STRENGTHS = ['50', '20', '10', '5', '2', '1', '0.1'] as const;

/** The lines of the plan and how surely each is weighed. */
function Lines({ plan }: { plan: PlanView }) {
  return (
    <div>
      <table aria-label="What is poured">
        <thead>
          <tr>
            <th scope="col">From</th>
            <th scope="col">Lot</th>
            <th scope="col" class="mass">
              Pour
            </th>
            <th scope="col">Weighed</th>
          </tr>
        </thead>
        <tbody>
          {plan.steps.map((step) => (
            <tr key={step.line}>
              <th scope="row">{step.title}</th>
              <td>{step.lot}</td>
              <td class="mass">{step.target} g</td>
              <td>
                <SurenessShape sureness={step.sureness} />
              </td>
            </tr>
          ))}
        </tbody>
      </table>
      {plan.warnings.length > 0 && (
        <ul class="warnings" aria-label="Before you begin">
          {plan.warnings.map((one) => (
            <li key={`${one.line ?? ''} ${one.what}`}>{one.text}</li>
          ))}
        </ul>
      )}
    </div>
  );
}

function Choosing({ now }: { now: Diluting }) {
  const { ask, problems } = now;
  return (
    <Form name="Dilution" onSubmit={() => void go()}>
      <fieldset class="strengths">
        <legend>Strength, by mass</legend>
        {STRENGTHS.map((percent) => (
          <label class="pick" key={percent}>
            <input
              type="radio"
              name="strength"
              checked={ask.percent === percent}
              onChange={() => void changeDilution({ percent })}
            />
            {percent} %
          </label>
        ))}
      </fieldset>
      <TextField
        label="Strength, %"
        figure
        value={ask.percent}
        wrong={wrongAt(problems, 'percent')}
        onInput={(percent) => void changeDilution({ percent })}
      />
      <Pick
        label="Solvent"
        value={ask.solvent}
        wrong={wrongAt(problems, 'solvent')}
        options={[{ value: '', says: 'choose' }, ...(choices.value?.solventLots ?? [])]}
        onPick={(solvent) => void changeDilution({ solvent })}
      />
      <TextField
        label="Make, g"
        figure
        value={ask.g}
        wrong={wrongAt(problems, 'g')}
        onInput={(g) => void changeDilution({ g })}
      />
    </Form>
  );
}

async function go(): Promise<void> {
  if (diluting.value?.plan === null || underWay.value) return;
  if (await takeDilution()) location.hash = fragmentOf('pour');
}

const nameOf = (code: string): string => standing.value.find((lot) => lot.code === code)?.name ?? '';

/** A dilution of a lot in one gesture: strength, solvent, amount, and off to Pour. */
export function Dilute({ code }: { code: string }) {
  useEffect(() => {
    diluting.value = null;
    void fetchChoices().then(() => beginDilution(code, choices.value?.solventLots[0]?.value ?? ''));
  }, [code]);
  const now = diluting.value;
  if (now === null || now.ask.lot !== code) return null;
  return (
    <section class="paper dilute" aria-labelledby="dilute-name">
      <h2 id="dilute-name">
        Dilute {nameOf(code)} <a href={fragmentOf('organ', `lot:${code}`)}>{code}</a>
      </h2>
      <Choosing now={now} />
      {now.plan !== null && <Lines plan={now.plan} />}
      <p class="row">
        <Press primary disabled={now.plan === null || underWay.value} onPress={() => void go()}>
          Pour it
        </Press>
        <span class="soft">
          {underWay.value
            ? 'A batch is on the bench.'
            : 'Once closed, the batch becomes a lot with the strength it really has.'}
        </span>
      </p>
      <InPlace id="told-dilution" trouble={now.trouble} />
      <p class="soft quiet">
        Not vodka, rubbing alcohol or denatured alcohol: the first is mostly water, the others carry water or
        denaturants into the perfume (common practice, no source). Buying and using perfumer's alcohol may
        need a licence: local rules apply.
      </p>
    </section>
  );
}
