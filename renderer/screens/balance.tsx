import { useSignal } from '@preact/signals';
import { useEffect } from 'preact/hooks';
import type { BalanceChoice } from '../../electron/host/table.ts';
import { Press } from '../parts/press.tsx';
import { LinkShape } from '../parts/shapes.tsx';
import { Pipette } from '../pour/pipette.tsx';
import {
  choose,
  choosing,
  chosen,
  fetchBalances,
  fetchPorts,
  ports,
  press,
  shapes,
} from '../state/balance.ts';
import { display, link, linkMessage, linkWhat, moving, shows, simulated } from '../state/bench.ts';

const RECOGNISE = 'recognise';
const USUAL_LINE = '9600 8N1';

interface Draft {
  readonly kind: BalanceChoice['kind'];
  readonly path: string;
  readonly shape: string;
  readonly line: string;
}

const EMPTY: Draft = { kind: 'simulated', path: '', shape: RECOGNISE, line: USUAL_LINE };

const draftOf = (choice: BalanceChoice | null): Draft =>
  choice === null || choice.kind === 'simulated' ? EMPTY : choice;

const choiceOf = ({ kind, path, shape, line }: Draft): BalanceChoice =>
  kind === 'simulated' ? { kind } : { kind, path, shape, line };

function Reading() {
  const drawn = !shows.value ? 'absent' : moving.value ? 'hollow' : 'solid';
  return (
    <section class="reading" aria-label="The balance now">
      <p class="reading-what">
        {linkWhat}
        {link.value !== 'none' && <LinkShape link={link.value} />}
      </p>
      <p class="reading-figure">
        <span class="big" data-drawn={drawn}>
          {display}
        </span>
      </p>
      <p class="reading-word" role="status">
        {link.value === 'live' ? (moving.value ? 'moving' : 'settled') : ''}
      </p>
      {linkMessage.value !== null && (
        <p class="advice" role="alert">
          {linkMessage}
        </p>
      )}
      <p class="row">
        <Press disabled={link.value !== 'live'} onPress={() => void press('tare')}>
          Tare
        </Press>
        <Press disabled={link.value !== 'live'} onPress={() => void press('zero')}>
          Zero
        </Press>
      </p>
      {simulated.value && <Pipette keyed={false} />}
    </section>
  );
}

interface PartProps {
  readonly draft: Draft;
  readonly change: (part: Partial<Draft>) => void;
}

function Ports({ draft, change }: PartProps) {
  const known = ports.value;
  return (
    <fieldset class="picks">
      <legend>Port</legend>
      {known?.length === 0 && <p class="soft">No port is found. Plug the balance in, then look again.</p>}
      {known?.map((port) => (
        <label class="pick" key={port.path}>
          <input
            type="radio"
            name="port"
            checked={draft.path === port.path}
            onChange={() => change({ path: port.path })}
          />
          <span>
            <b>{port.label}</b>
            <small>{port.detail}</small>
          </span>
        </label>
      ))}
      <Press slim onPress={() => void fetchPorts()}>
        Look again
      </Press>
      <label>
        or another path
        <input
          type="text"
          autoComplete="off"
          spellcheck={false}
          value={draft.path}
          onInput={(event) => change({ path: event.currentTarget.value })}
        />
      </label>
    </fieldset>
  );
}

function Shapes({ draft, change }: PartProps) {
  const shape = shapes.value.find((one) => one.name === draft.shape);
  const lines = shape?.lines ?? [];
  return (
    <>
      <label>
        Shape of its lines
        <select value={draft.shape} onChange={(event) => change({ shape: event.currentTarget.value })}>
          <option value={RECOGNISE}>recognise it from what comes</option>
          {shapes.value.map((one) => (
            <option key={one.name} value={one.name}>
              {one.title}
            </option>
          ))}
        </select>
      </label>
      {shape !== undefined && (
        <p class="sample">
          <span class="label">a line looks like</span> <code>{shape.sample}</code>
        </p>
      )}
      <label>
        Line settings
        <input
          type="text"
          list="line-settings"
          autoComplete="off"
          spellcheck={false}
          value={draft.line}
          onInput={(event) => change({ line: event.currentTarget.value })}
        />
        <datalist id="line-settings">
          {lines.map((line) => (
            <option key={line} value={line} />
          ))}
        </datalist>
      </label>
    </>
  );
}

const KINDS = [
  { kind: 'simulated', title: 'Simulated balance', about: 'behaves like one; its pipette is on the screen' },
  { kind: 'serial', title: 'Balance on a serial port', about: '' },
] as const;

function Choosing() {
  const edited = useSignal<Draft | null>(null);
  const draft = edited.value ?? draftOf(chosen.value);
  const change = (part: Partial<Draft>) => {
    edited.value = { ...draft, ...part };
  };
  return (
    <form
      class="choosing"
      onSubmit={(event) => {
        event.preventDefault();
        void choose(choiceOf(draft));
      }}
    >
      <fieldset class="picks">
        <legend>Which balance</legend>
        {KINDS.map(({ kind, title, about }) => (
          <label class="pick" key={kind}>
            <input type="radio" name="kind" checked={draft.kind === kind} onChange={() => change({ kind })} />
            <span>
              <b>{title}</b>
              <small>{about}</small>
            </span>
          </label>
        ))}
      </fieldset>
      {draft.kind === 'serial' && (
        <>
          <Ports draft={draft} change={change} />
          <Shapes draft={draft} change={change} />
        </>
      )}
      <p class="row">
        <button
          type="submit"
          class="press primary"
          disabled={choosing.value || (draft.kind === 'serial' && draft.path.trim() === '')}
        >
          Use this balance
        </button>
      </p>
    </form>
  );
}

/** Balance: which one, how it is reached, and what it says now. */
export function BalanceScreen() {
  useEffect(() => void fetchBalances(), []);
  return (
    <div class="screen">
      <header class="screen-head">
        <h1>Balance</h1>
      </header>
      <div class="screen-body sided wide-side">
        <Choosing />
        <Reading />
      </div>
    </div>
  );
}
