import { useSignal } from '@preact/signals';
import { useEffect, useRef } from 'preact/hooks';
import type { BalanceChoice, FindingView } from '../../electron/host/table.ts';
import { Press } from '../parts/press.tsx';
import { choose, choosing, chosen, find, finding, stopFinding } from '../state/balance.ts';
import { type Unit, UnitPick } from './unit-pick.tsx';

type Serial = Extract<BalanceChoice, { kind: 'serial' }>;
type Shape = FindingView['shapes'][number];

const Sample = ({ shape }: { shape: Shape }) => (
  <span class="sample">
    <span class="label">a line looks like</span> <code>{shape.sample}</code>
  </span>
);

function Listening({ view }: { view: FindingView }) {
  const { port, trying, ask } = view;
  return (
    <>
      <p>
        {port === null ? 'Looking for ports.' : `Listening at ${port.label}. Nothing is sent.`}
        {trying !== null && (
          <span class="soft">
            {' '}
            Line settings {trying.line}, {trying.number} of {trying.of}.
          </span>
        )}
      </p>
      {ask !== null && <p class="asked">{ask}</p>}
      <Press slim onPress={() => void stopFinding()}>
        Stop listening
      </Press>
    </>
  );
}

/** A shape whose lines carry no unit: the person says what the display shows, before anything counts as a mass. */
function AskUnit({ choice }: { choice: Serial }) {
  const unit = useSignal<Unit | ''>('');
  return (
    <div class="row">
      <UnitPick unsaid="choose one" value={unit.value} change={(given) => (unit.value = given)} />
      <Press
        slim
        disabled={unit.value === '' || choosing.value}
        onPress={() => void choose(unit.value === '' ? choice : { ...choice, unit: unit.value })}
      >
        Use this unit
      </Press>
    </div>
  );
}

function Found({ view }: { view: FindingView }) {
  const { port, line } = view;
  const [shape] = view.shapes;
  if (port === null || line === null || shape === undefined) return null;
  return (
    <>
      <p>
        <b>Found at {port.label}</b>, and on the bench: {shape.title}. Line settings {line}.
      </p>
      <Sample shape={shape} />
      {!shape.unit && (
        <>
          <p class="asked">Its lines carry no unit. Which one does the display show?</p>
          <AskUnit choice={{ kind: 'serial', path: port.path, shape: shape.name, line }} />
        </>
      )}
    </>
  );
}

function Undecided({ view }: { view: FindingView }) {
  const { port, line } = view;
  if (port === null || line === null) return null;
  return (
    <>
      <p>
        At {port.label}, line settings {line}, more than one shape fits, and nothing came that decides.{' '}
        {view.ask} Then listen again, or choose by the manual of the balance.
      </p>
      <ul class="fitting">
        {view.shapes.map((shape) => (
          <li key={shape.name}>
            <span>
              <b>{shape.title}</b>
              <Sample shape={shape} />
            </span>
            <Press
              slim
              disabled={choosing.value}
              onPress={() => void choose({ kind: 'serial', path: port.path, shape: shape.name, line })}
            >
              Use this
            </Press>
          </li>
        ))}
      </ul>
    </>
  );
}

function Said({ view }: { view: FindingView }) {
  return (
    <ul class="said">
      {view.said.map((one) => (
        <li key={one.port}>
          <p>
            {one.port !== '' && <b>{one.port}: </b>}
            {one.what}
          </p>
          {one.heard !== null && one.heard !== '' && (
            <p>
              <span class="label">what was heard</span> <code>{one.heard}</code>
            </p>
          )}
          <p class="soft">{one.next}</p>
        </li>
      ))}
    </ul>
  );
}

const LOOK_AGAIN = { nothing: true, stopped: true, undecided: true, found: true } as const;

/** One button finds the balance by listening; what is tried, asked and found is said in words. */
export function FindMyBalance() {
  const view = finding.value;
  const state = view?.state ?? 'idle';
  const section = useRef<HTMLElement>(null);
  useEffect(() => {
    // It may have been begun at a port further down: what is tried and asked must be in sight.
    if (state !== 'idle') section.current?.scrollIntoView({ block: 'start' });
  }, [state]);
  return (
    <section class="finding" aria-labelledby="finding" ref={section}>
      <h2 id="finding">Find my balance</h2>
      {state === 'idle' && (
        <p class="soft">
          Plug it in, switch it on. Every serial port is listened at until lines come that can be read;
          nothing is sent to any of them.
        </p>
      )}
      <div role="status" class="finding-said">
        {view !== null && state === 'listening' && <Listening view={view} />}
        {view !== null && state === 'found' && <Found view={view} />}
        {view !== null && state === 'undecided' && <Undecided view={view} />}
        {state === 'nothing' && <p>No balance was found.</p>}
        {state === 'stopped' && (
          <p>Stopped. {chosen.value !== null && 'The balance from before is on the bench again.'}</p>
        )}
        {view !== null && view.said.length > 0 && state !== 'found' && <Said view={view} />}
      </div>
      {state !== 'listening' && (
        <Press primary={state === 'idle'} slim={state !== 'idle'} onPress={() => void find()}>
          {state in LOOK_AGAIN ? 'Listen again' : 'Find my balance'}
        </Press>
      )}
    </section>
  );
}
