import { useEffect } from 'preact/hooks';
import type { PlanView } from '../../electron/host/table.ts';
import { Form, Pick, TextField } from '../parts/form.tsx';
import { InPlace } from '../parts/in-place.tsx';
import { operator } from '../state/preferences.ts';
import { fragmentOf } from '../state/route.ts';
import {
  openTyping,
  sending,
  sendSheet,
  sheetPlan,
  sheetTrouble,
  sheetWrongs,
  typeFormula,
  typeGrams,
  typeGross,
  typeLine,
  typeLot,
  typing,
  writtenOf,
  wrongAt,
} from '../state/typed-in.ts';
import { fetchFormulas, formulas } from '../state/workshop.ts';
import { PourLeaves } from './leaves.tsx';

const PARTS = [
  { part: 'before', label: 'before, g' },
  { part: 'after', label: 'after, g' },
  { part: 'net', label: 'net, g' },
] as const;

/** One line of the sheet: its bottle, and what was written beside it. */
function Line({ step }: { step: PlanView['steps'][number] }) {
  const { line } = step;
  const written = writtenOf(line);
  return (
    <fieldset class="sheet-line">
      <legend>
        {step.title}{' '}
        <small>
          {step.target} g, {step.low} to {step.high}
        </small>
      </legend>
      <Pick
        label="lot"
        value={step.lot}
        options={step.bottles.map(({ code, name }) => ({ value: code, says: `${code} · ${name}` }))}
        onPick={(lot) => void typeLot(line, lot)}
      />
      {PARTS.map(({ part, label }) => (
        <TextField
          key={part}
          label={label}
          figure
          maxLength={20}
          value={written[part]}
          wrong={wrongAt(`${part} of ${line}`)}
          onInput={(text) => typeLine(line, part, text)}
        />
      ))}
    </fieldset>
  );
}

/** Formula and batch as they stand at the head of the sheet. */
function Heading() {
  const { draft, grams, vessel } = typing.value;
  const all = formulas.value ?? [];
  return (
    <>
      <Pick
        label="Formula"
        value={draft?.formula ?? ''}
        options={all.map(({ id, name }) => ({ value: id, says: name }))}
        onPick={(id) => void typeFormula(id)}
      />
      <TextField
        label="Batch size, g"
        figure
        maxLength={20}
        placeholder={sheetPlan.value?.total ?? ''}
        value={grams}
        wrong={wrongAt('batch')}
        onInput={(text) => void typeGrams(text)}
      />
      <TextField
        label="Poured by"
        maxLength={80}
        value={operator.value}
        onInput={(text) => {
          operator.value = text;
        }}
      />
      <TextField
        label="Empty vessel, g"
        figure
        maxLength={20}
        hint="empty where it was tared to zero"
        value={vessel}
        wrong={wrongAt('vessel')}
        onInput={(text) => typeGross('vessel', text)}
      />
    </>
  );
}

async function send(): Promise<void> {
  const batch = await sendSheet();
  if (batch !== null) location.hash = fragmentOf('records', batch);
  else
    requestAnimationFrame(() => document.querySelector<HTMLElement>('.form [aria-invalid="true"]')?.focus());
}

/** Type in a pour sheet: figures that were written where no computer was, through the rules of the pour. */
export function TypedIn() {
  useEffect(() => void fetchFormulas().then(() => openTyping(formulas.value?.[0]?.id)), []);
  const plan = sheetPlan.value;
  const wrongs = Object.keys(sheetWrongs.value).length;
  return (
    <div class="screen pour-sheet">
      <header class="screen-head">
        <h1>Pour</h1>
      </header>
      <PourLeaves />
      <div class="screen-body">
        <Form name="Figures of a pour sheet" onSubmit={() => void send()}>
          <p class="wide soft">
            Beside each line either its net, or what the display showed before and after. A line without
            figures is recorded as skipped. What is typed is kept until it is stored.
          </p>
          <Heading />
          {plan?.steps.map((step) => (
            <Line key={step.line} step={step} />
          ))}
          <TextField
            label="Vessel and batch at the end, g"
            figure
            maxLength={20}
            hint="empty where nobody read it"
            value={typing.value.closing}
            wrong={wrongAt('closing')}
            onInput={(text) => typeGross('closing', text)}
          />
          <InPlace id="sheet-trouble" trouble={sheetTrouble.value} />
          <p class="row">
            <button type="submit" class="press primary" disabled={plan === null || sending.value}>
              Store as a record
            </button>
            <span role="status">
              {wrongs === 0 ? '' : wrongs === 1 ? 'One field is wrong.' : `${wrongs} fields are wrong.`}
            </span>
          </p>
        </Form>
      </div>
    </div>
  );
}
