import { Pick, TextField, Tick } from '../parts/form.tsx';
import { Press } from '../parts/press.tsx';
import { beginLayout, keepLabels, type LabelSettings, type LabelWhich, labelling } from '../state/labels.ts';
import { NumberField } from './number-field.tsx';

const CODES = [
  { value: 'data-matrix', says: 'Data Matrix, the smaller' },
  { value: 'qr', says: 'QR, for telephones too' },
] as const;

interface SettingsProps {
  readonly lots: readonly string[];
  readonly settings: LabelSettings;
}

function Wanted({ which, lots, settings }: SettingsProps & { which: LabelWhich }) {
  const wanted = settings[which];
  const layouts = labelling.value?.layouts[which] ?? [];
  const chosen = layouts.find(({ id }) => id === wanted.layout);
  const write = (part: Partial<typeof wanted>) =>
    void keepLabels({ ...settings, [which]: { ...wanted, ...part } }, lots);
  const places = chosen === undefined ? 1 : chosen.rows * chosen.columns;
  return (
    <fieldset class="label-kind">
      <legend>{which === 'bottle' ? 'Bottle' : 'Lid'}</legend>
      <Tick
        label={which === 'bottle' ? 'a label for the bottle' : 'a round one for the lid'}
        on={wanted.on}
        onTick={(on) => write({ on })}
      />
      {wanted.on && (
        <div class="form">
          <Pick
            label="Layout"
            wide
            value={wanted.layout}
            options={layouts.map(({ id, name }) => ({ value: id, says: name }))}
            onPick={(layout) => write({ layout, start: 1 })}
          />
          {which === 'lid' && (
            <NumberField
              label="Diameter, mm"
              value={settings.lid.diameter}
              least={12}
              most={25}
              hint="own layouts have theirs"
              onNumber={(diameter) =>
                void keepLabels({ ...settings, lid: { ...settings.lid, diameter, start: 1 } }, lots)
              }
            />
          )}
          <NumberField
            label="Copies of each"
            whole
            value={wanted.copies}
            least={1}
            most={100}
            onNumber={(copies) => write({ copies })}
          />
          <NumberField
            label="Begin at place"
            whole
            value={wanted.start}
            least={1}
            most={places}
            hint="row by row, from the upper left"
            onNumber={(start) => write({ start })}
          />
          <div class="row">
            <Press slim onPress={() => chosen !== undefined && beginLayout(chosen)}>
              Change this layout
            </Press>
          </div>
        </div>
      )}
    </fieldset>
  );
}

/** What is printed and on what paper: kept as soon as it is changed. */
export function LabelSettingsForm({ lots, settings }: SettingsProps) {
  const write = (part: Partial<LabelSettings>) => void keepLabels({ ...settings, ...part }, lots);
  return (
    <div class="label-settings">
      <div class="form">
        <TextField
          label="Maker"
          wide
          maxLength={60}
          hint="the workshop's name as it stands on labels"
          value={settings.maker}
          onInput={(maker) => write({ maker })}
        />
        <Pick
          label="Code to scan"
          wide
          value={settings.code}
          options={CODES}
          hint="it holds the lot's code and nothing else"
          onPick={(code) => write({ code })}
        />
      </div>
      <Wanted which="bottle" lots={lots} settings={settings} />
      <Wanted which="lid" lots={lots} settings={settings} />
      <Tick
        label="draw the edges, to cut by"
        on={settings.outline}
        onTick={(outline) => write({ outline })}
      />
    </div>
  );
}
