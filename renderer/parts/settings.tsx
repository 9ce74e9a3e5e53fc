import type { Signal } from '@preact/signals';
import { CAUTION_RULES, cautionRule, chooseCautionRule, fetchCautionRule } from '../state/caution-rule.ts';
import { BUTTONS, buttons, SHEETS, sheet, spoken, volume } from '../state/preferences.ts';
import { CUE_WORDS, CUES } from '../state/sounds.ts';
import { Press } from './press.tsx';
import { play } from './sound.ts';
import { say, voice } from './voice.ts';

const WORDS = {
  system: 'as the system has it',
  light: 'light',
  dark: 'dark',
  usual: 'usual',
  glove: 'taller, for gloved hands',
  shown: 'shown before their bottle',
  required: 'each heeded before its bottle, as a teacher requires',
} as const;

interface PickProps<T extends keyof typeof WORDS> {
  readonly title: string;
  readonly name: string;
  readonly all: readonly T[];
  readonly value: Signal<T>;
}

function Pick<T extends keyof typeof WORDS>({ title, name, all, value }: PickProps<T>) {
  return (
    <fieldset>
      <legend>{title}</legend>
      {all.map((one) => (
        <label class="pick" key={one}>
          <input
            type="radio"
            name={name}
            checked={value.value === one}
            onChange={() => {
              value.value = one;
            }}
          />
          {WORDS[one]}
        </label>
      ))}
    </fieldset>
  );
}

function Sounds() {
  return (
    <fieldset>
      <legend>Sounds</legend>
      <label>
        {volume.value === 0 ? 'off' : `volume ${volume.value} of 100`}
        <input
          type="range"
          min="0"
          max="100"
          step="10"
          value={volume}
          onInput={(event) => {
            volume.value = Number(event.currentTarget.value);
          }}
        />
      </label>
      <p class="hearing">
        {CUES.map((cue) => (
          <Press slim key={cue} disabled={volume.value === 0} onPress={() => play(cue)}>
            {CUE_WORDS[cue]}
          </Press>
        ))}
      </p>
    </fieldset>
  );
}

function Speech() {
  const none = voice.value === null;
  return (
    <fieldset>
      <legend>Speech</legend>
      <label class="pick">
        <input
          type="checkbox"
          checked={spoken.value}
          onChange={(event) => {
            spoken.value = event.currentTarget.checked;
          }}
        />
        speak the next step
      </label>
      {none ? (
        <p class="soft">
          This window has no English voice of its own on this machine: nothing is spoken until the system has
          one.
        </p>
      ) : (
        <p class="hearing">
          <Press slim onPress={() => say('Next: lavender oil, lot L A 3 3, 2.10 grams.')}>
            hear it
          </Press>
        </p>
      )}
    </fieldset>
  );
}

/** A rule of the machine, not of this window: it holds for every batch that begins from now on. */
function Cautions() {
  return (
    <fieldset>
      <legend>Cautions, in all batches of this machine</legend>
      {CAUTION_RULES.map((rule) => (
        <label class="pick" key={rule}>
          <input
            type="radio"
            name="cautions"
            checked={cautionRule.value === rule}
            disabled={cautionRule.value === null}
            onChange={() => void chooseCautionRule(rule)}
          />
          {WORDS[rule]}
        </label>
      ))}
    </fieldset>
  );
}

/** The window's own likings, and the rule of the machine for cautions, opened from the foot of the spine. */
export function Settings() {
  return (
    <section
      id="settings"
      class="settings"
      popover="auto"
      aria-label="This window"
      onToggle={(event) => {
        if (event.newState === 'open') void fetchCautionRule();
      }}
    >
      <Pick title="Sheet" name="sheet" all={SHEETS} value={sheet} />
      <Pick title="Buttons" name="buttons" all={BUTTONS} value={buttons} />
      <Sounds />
      <Speech />
      <Cautions />
    </section>
  );
}
