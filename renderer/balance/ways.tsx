import { useSignal } from '@preact/signals';
import { useEffect } from 'preact/hooks';
import type { BalanceChoice, Output } from '../../electron/host/table.ts';
import { Press } from '../parts/press.tsx';
import {
  choose,
  choosing,
  chosen,
  chosenTold,
  fetchPorts,
  fetchScales,
  find,
  finding,
  isBusy,
  ports,
  scales,
  scalesTrouble,
  shapes,
} from '../state/balance.ts';
import { type Unit, UnitPick } from './unit-pick.tsx';

const RECOGNISE = 'recognise';
const USUAL_LINE = '9600 8N1';

type Scale = Output<'balance.scales'>[number];

/** When a balance on a serial port sends. */
type Sends = 'always' | 'asked' | 'key';

interface Draft {
  readonly kind: BalanceChoice['kind'];
  readonly path: string;
  readonly shape: string;
  readonly line: string;
  readonly unit: Unit | '';
  readonly sends: Sends;
  /** The command that was found to be answered; absent, the shape's own is used. */
  readonly ask?: string | undefined;
  readonly scale: Scale | null;
}

const EMPTY: Draft = {
  kind: 'simulated',
  path: '',
  shape: RECOGNISE,
  line: USUAL_LINE,
  unit: '',
  sends: 'always',
  scale: null,
};

function draftOf(choice: BalanceChoice | null): Draft {
  if (choice === null) return EMPTY;
  if (choice.kind !== 'serial') return { ...EMPTY, kind: choice.kind };
  const { kind, path, shape, line, unit = '', ask, byKey } = choice;
  const sends = byKey === true ? 'key' : ask === undefined ? 'always' : 'asked';
  return { ...EMPTY, kind, path, shape, line, unit, sends, ask };
}

/** What is drawn up as a choice; null while something is missing. */
function choiceOf(draft: Draft): BalanceChoice | null {
  const { kind, scale } = draft;
  switch (kind) {
    case 'simulated':
    case 'typed':
      return { kind };
    case 'serial':
      return serialOf(draft);
    case 'usb': {
      if (scale === null) return null;
      const { vendorId, productId, serialNumber } = scale;
      return { kind, path: scale.path, device: { vendorId, productId, serialNumber } };
    }
  }
}

function serialOf({ path, shape, line, unit, sends, ask }: Draft): BalanceChoice | null {
  const asks = ask ?? shapes.value.find((one) => one.name === shape)?.ask ?? null;
  if (path.trim() === '' || (sends === 'asked' && asks === null)) return null;
  return {
    kind: 'serial',
    path,
    shape,
    line,
    ...(unit === '' ? {} : { unit }),
    ...(sends === 'asked' && asks !== null ? { ask: asks } : {}),
    ...(sends === 'key' ? { byKey: true } : {}),
  };
}

interface PartProps {
  readonly draft: Draft;
  readonly change: (part: Partial<Draft>) => void;
}

interface Ids {
  readonly detail: string;
  readonly vendorId?: string | undefined;
  readonly productId?: string | undefined;
  readonly serialNumber?: string | undefined;
}

/** Vendor, product and serial number in words, and what the device calls itself where it does. */
function IdsOf({ ids: { detail, vendorId, productId, serialNumber } }: { ids: Ids }) {
  if (vendorId === undefined) return <small>{detail || 'the system tells nothing of it'}</small>;
  const called = detail.split(`${vendorId}:`)[0]?.trim() ?? '';
  return (
    <small>
      {called !== '' && `${called}, `}vendor {vendorId}, product {productId ?? 'not told'}, serial number{' '}
      {serialNumber || 'none'}
    </small>
  );
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
            <IdsOf ids={port} />
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
      <Press
        slim
        disabled={draft.path.trim() === '' || isBusy(finding.value)}
        onPress={() => void find(draft.path.trim())}
      >
        Find settings and shape at this port
      </Press>
    </fieldset>
  );
}

const SENDS: readonly (readonly [Sends, string])[] = [
  ['always', 'by itself, again and again'],
  ['asked', 'only when asked'],
  ['key', 'only when Print is pressed on it'],
];

function SendsPick({ draft, change }: PartProps) {
  const shape = shapes.value.find((one) => one.name === draft.shape);
  const none = draft.sends === 'asked' && draft.ask === undefined && (shape?.ask ?? null) === null;
  return (
    <>
      <label>
        It sends
        <select
          value={draft.sends}
          onChange={(event) => {
            const given = SENDS.find(([sends]) => sends === event.currentTarget.value);
            if (given !== undefined) change({ sends: given[0] });
          }}
        >
          {SENDS.map(([sends, words]) => (
            <option key={sends} value={sends}>
              {words}
            </option>
          ))}
        </select>
      </label>
      {none && (
        <p class="advice">
          {shape === undefined
            ? 'Choose the shape of its lines: the command to ask with goes by it.'
            : 'No command is known that asks balances of this shape.'}
        </p>
      )}
    </>
  );
}

function Shapes({ draft, change }: PartProps) {
  const shape = shapes.value.find((one) => one.name === draft.shape);
  const lines = shape?.lines ?? [];
  return (
    <>
      <label>
        Shape of its lines
        <select
          value={draft.shape}
          onChange={(event) => change({ shape: event.currentTarget.value, ask: undefined })}
        >
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
      <SendsPick draft={draft} change={change} />
      <UnitPick unsaid="as its lines say" value={draft.unit} change={(unit) => change({ unit })} />
    </>
  );
}

/** USB scales are looked for only here, when one is wanted: what reads them is loaded then. */
function Scales({ draft, change }: PartProps) {
  const known = scales.value;
  const trouble = scalesTrouble.value;
  return (
    <fieldset class="picks">
      <legend>USB scale</legend>
      {trouble !== null && (
        <p class="advice" role="alert">
          {trouble.what} {trouble.next}
        </p>
      )}
      {known?.length === 0 && (
        <p class="soft">
          No USB scale is found. Plug it in, switch it on, look again. On Linux it may want rights: copy
          udev/70-balance.rules of this program to /etc/udev/rules.d and plug it in again.
        </p>
      )}
      {known?.map((scale) => (
        <label class="pick" key={scale.path}>
          <input
            type="radio"
            name="scale"
            checked={draft.scale?.path === scale.path}
            onChange={() => change({ scale })}
          />
          <span>
            <b>{scale.label}</b>
            <IdsOf ids={scale} />
          </span>
        </label>
      ))}
      <Press slim onPress={() => void fetchScales()}>
        {known === null ? 'Look for USB scales' : 'Look again'}
      </Press>
    </fieldset>
  );
}

const KINDS = [
  { kind: 'simulated', title: 'Simulated balance', about: 'behaves like one; its pipette is on the screen' },
  { kind: 'serial', title: 'Balance on a serial port', about: 'also by a USB adapter' },
  { kind: 'usb', title: 'USB scale', about: 'one that reports as a scale, without a serial port' },
  {
    kind: 'typed',
    title: 'Typed by hand',
    about: 'no data socket: you type what the display shows, or the balance types it like a keyboard',
  },
] as const;

/**
 * Every way to a balance, chosen and set by hand. Not there before the remembered choice is known: what is pressed on a
 * form that shows another would be gone once it is told.
 */
export function Ways() {
  const edited = useSignal<Draft | null>(null);
  const found = finding.value?.state === 'found';
  useEffect(() => {
    // What was found is the choice now: the form shows it.
    if (found) edited.value = null;
  }, [found]);
  if (!chosenTold.value) return null;
  const draft = edited.value ?? draftOf(chosen.value);
  const change = (part: Partial<Draft>) => {
    edited.value = { ...draft, ...part };
  };
  const choice = choiceOf(draft);
  return (
    <form
      class="ways-to"
      onSubmit={(event) => {
        event.preventDefault();
        if (choice !== null) void choose(choice);
      }}
    >
      <fieldset class="picks">
        <legend>Or choose it</legend>
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
      {draft.kind === 'usb' && <Scales draft={draft} change={change} />}
      <p class="row">
        <button type="submit" class="press primary" disabled={choosing.value || choice === null}>
          Use this balance
        </button>
      </p>
    </form>
  );
}
