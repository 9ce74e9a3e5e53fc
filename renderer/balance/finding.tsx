import { useSignal } from '@preact/signals';
import { useEffect, useRef } from 'preact/hooks';
import type { FindingView } from '../../electron/host/table.ts';
import { Press } from '../parts/press.tsx';
import { choose, choosing, chosen, find, finding, isBusy, stopFinding } from '../state/balance.ts';
import { MayAsk } from './may-ask.tsx';
import { type Unit, UnitPick } from './unit-pick.tsx';

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

function Asking({ view }: { view: FindingView }) {
  const { port, sending, trying } = view;
  return (
    <>
      <p>
        {sending === null
          ? `Listening at ${port?.label} once more before anything is sent.`
          : `Asking at ${port?.label}: `}
        {sending !== null && (
          <>
            <code>{sending.bytes}</code> at {sending.line}
            {trying !== null && (
              <span class="soft">
                , {trying.number} of {trying.of}
              </span>
            )}
            .
          </>
        )}
      </p>
      <Press slim onPress={() => void stopFinding()}>
        Stop asking
      </Press>
    </>
  );
}

/** A shape whose lines carry no unit: the person says what the display shows, before anything counts as a mass. */
function AskUnit() {
  const unit = useSignal<Unit | ''>('');
  const choice = chosen.value;
  if (choice?.kind !== 'serial') return null;
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
  const choice = chosen.value;
  if (port === null || line === null || shape === undefined) return null;
  return (
    <>
      <p>
        <b>Found at {port.label}</b>, and on the bench: {shape.title}. Line settings {line}.
        {choice?.kind === 'serial' &&
          choice.ask !== undefined &&
          ' It only answers, so it is asked on and on.'}
        {choice?.kind === 'serial' && choice.byKey && ' It sends when you press Print on it.'}
      </p>
      <Sample shape={shape} />
      {!shape.unit && (
        <>
          <p class="asked">Its lines carry no unit. Which one does the display show?</p>
          <AskUnit />
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
              onPress={() =>
                void choose({
                  kind: 'serial',
                  path: port.path,
                  shape: shape.name,
                  line,
                  ...(view.byKey ? { byKey: true } : {}),
                })
              }
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
          {one.kind === 'silent' && !isBusy(view) && <MayAsk path={one.path} />}
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
        {view !== null && state === 'asking' && <Asking view={view} />}
        {view !== null && state === 'found' && <Found view={view} />}
        {view !== null && state === 'undecided' && <Undecided view={view} />}
        {state === 'nothing' && <p>No balance was found.</p>}
        {state === 'stopped' && (
          <p>Stopped. {chosen.value !== null && 'The balance from before is on the bench again.'}</p>
        )}
        {view !== null && view.said.length > 0 && state !== 'found' && <Said view={view} />}
      </div>
      {!isBusy(view) && (
        <Press primary={state === 'idle'} slim={state !== 'idle'} onPress={() => void find()}>
          {state in LOOK_AGAIN ? 'Listen again' : 'Find my balance'}
        </Press>
      )}
    </section>
  );
}
