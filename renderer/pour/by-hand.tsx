import { useId, useState } from 'preact/hooks';
import { dropText } from '../figures/drop.ts';
import { backToLeaf } from '../parts/back.ts';
import { begun, bench, live, phase, pipettes, pour, step } from '../state/bench.ts';
import { confirmByCode } from '../state/bottle.ts';
import { askReply } from '../state/host.ts';

/** What came of what was typed: words beside the field. */
interface Told {
  readonly failed: boolean;
  readonly text: string;
}

interface EntryProps {
  readonly label: string;
  readonly keyName: string;
  readonly mode: 'text' | 'numeric';
  /** Takes what was typed. @returns what to say beside the field; null says nothing */
  readonly take: (text: string) => Promise<Told | null>;
}

/** A small field beside the ledger: its key goes to it, enter takes what is in it, escape leaves it. */
function Entry({ label, keyName, mode, take }: EntryProps) {
  const id = useId();
  const [text, setText] = useState('');
  const [told, setTold] = useState<Told | null>(null);
  const submit = async (field: HTMLInputElement) => {
    const given = text.trim();
    if (given === '') return;
    const came = await take(given);
    setTold(came);
    if (came?.failed === true) field.select();
    else {
      setText('');
      backToLeaf();
    }
  };
  return (
    <div class="entry">
      <label for={id}>
        {label}
        <span class="key" aria-hidden="true">
          {keyName}
        </span>
      </label>
      <input
        id={id}
        type="text"
        inputMode={mode}
        autoComplete="off"
        autoCapitalize="off"
        spellcheck={false}
        maxLength={64}
        aria-keyshortcuts={keyName}
        aria-invalid={told?.failed === true}
        aria-describedby={`${id}-told`}
        value={text}
        onInput={(event) => {
          setText(event.currentTarget.value);
          setTold(null);
        }}
        onKeyDown={(event) => {
          if (event.key === 'Enter') {
            event.preventDefault();
            void submit(event.currentTarget);
          } else if (event.key === 'Escape') {
            event.preventDefault();
            setText('');
            setTold(null);
            backToLeaf();
          }
        }}
      />
      <span
        id={`${id}-told`}
        class={told?.failed === true ? 'entry-told failed' : 'entry-told'}
        role="status"
      >
        {told?.text ?? ''}
      </span>
    </div>
  );
}

/** A count of drops as typed: whole, from 1 to 200; null for anything else. */
export function countOf(text: string): number | null {
  const count = /^\d{1,3}$/.test(text) ? Number(text) : 0;
  return count >= 1 && count <= 200 ? count : null;
}

async function learn(text: string): Promise<Told> {
  const count = countOf(text);
  if (count === null) return { failed: true, text: 'A whole number of drops, from 1 to 200.' };
  const reply = await askReply('pour.drops', { count });
  if (!reply.ok) return { failed: true, text: `${reply.trouble.what} ${reply.trouble.next}` };
  bench.value = reply.value;
  const now = reply.value.pour?.now;
  return { failed: false, text: now ? `Learnt: a drop is ${dropText(now.drop, now.dropU)}.` : '' };
}

async function takeCode(text: string): Promise<Told | null> {
  const trouble = await confirmByCode(text);
  return trouble === null ? null : { failed: true, text: 'Not taken.' };
}

/** Which pipette the drops are learnt of: one that was named before, or another. */
function Pipettes() {
  const id = useId();
  const [naming, setNaming] = useState(false);
  const [failed, setFailed] = useState('');
  const all = pipettes.value;
  const use = async (name: string) => {
    const reply = await askReply('pour.pipette', { name });
    setFailed(reply.ok ? '' : `${reply.trouble.what} ${reply.trouble.next}`);
    if (reply.ok) bench.value = reply.value;
    setNaming(false);
    backToLeaf();
  };
  return (
    <div class="entry">
      <label for={id}>pipette</label>
      {naming ? (
        <input
          id={id}
          ref={(field) => field?.focus()}
          type="text"
          maxLength={40}
          autoComplete="off"
          placeholder="its name"
          onKeyDown={(event) => {
            if (event.key !== 'Enter' && event.key !== 'Escape') return;
            event.preventDefault();
            const name = event.currentTarget.value.trim();
            if (event.key === 'Enter' && name !== '') void use(name);
            else {
              setNaming(false);
              backToLeaf();
            }
          }}
        />
      ) : (
        <select
          id={id}
          value={all[0] ?? ''}
          onChange={({ currentTarget: { value } }) => (value === '' ? setNaming(true) : void use(value))}
        >
          {all.map((name) => (
            <option key={name} value={name}>
              {name}
            </option>
          ))}
          <option value="">another …</option>
        </select>
      )}
      <span class="entry-told failed" role="status">
        {failed}
      </span>
    </div>
  );
}

/** What a hand may type at this moment: the code of the lot it fetched, and how many drops it gave. */
export function ByHand() {
  const now = step.value;
  const asksCode = phase.value === 'bottle' && pour.value?.paused !== true;
  /* A display that still shows zero may have swallowed the drops: that is said once they are counted. */
  const given = begun.value || (phase.value === 'pouring' && Number(live.value.g ?? 'none') === 0);
  const asksDrops = (phase.value === 'pouring' || phase.value === 'bottle') && now !== null && given;
  if (!asksCode && !asksDrops) return null;
  return (
    <div class="entries">
      {asksCode && <Entry key="code" label="lot's code" keyName="B" mode="text" take={takeCode} />}
      {asksDrops && (
        <Entry key={`drops ${now.line}`} label="drops given" keyName="G" mode="numeric" take={learn} />
      )}
      {asksDrops && <Pipettes />}
    </div>
  );
}
