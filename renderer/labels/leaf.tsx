import { useEffect } from 'preact/hooks';
import { download } from '../parts/download.ts';
import { TextField } from '../parts/form.tsx';
import { InPlace } from '../parts/in-place.tsx';
import { Press } from '../parts/press.tsx';
import { scrolls } from '../parts/scrolls.ts';
import {
  type LabelPreview,
  labelling,
  labelMaking,
  labelPreview,
  labelsGone,
  labelsItem,
  labelTrouble,
  layingOut,
  listLots,
  lotsListed,
  lotWords,
  printLabels,
  saveLabels,
  showLabels,
} from '../state/labels.ts';
import { fragmentOf } from '../state/route.ts';
import { LayoutForm } from './layout-form.tsx';
import { LabelSettingsForm } from './settings.tsx';
import { LabelSheets } from './sheets.tsx';

const go = (lots: readonly string[]): void => {
  location.hash = fragmentOf('organ', labelsItem(lots));
};

/** Which lots are labelled: each taken out by a press, others found by code or name. */
function Lots({ lots }: { lots: readonly string[] }) {
  useEffect(() => void listLots(lotWords.value), []);
  const listed = lotsListed.value;
  const others = listed?.lots.filter(({ code }) => !lots.includes(code)) ?? [];
  return (
    <section class="label-lots" aria-labelledby="label-lots">
      <h3 id="label-lots" class="caption">
        {lots.length === 0 ? 'Which lots' : `For ${lots.length === 1 ? 'one lot' : `${lots.length} lots`}`}
      </h3>
      <ul class="label-chosen">
        {lots.map((code) => (
          <li key={code}>
            <b>{code}</b>
            <button
              type="button"
              class="press slim"
              aria-label={`leave out ${code}`}
              onClick={() => go(lots.filter((one) => one !== code))}
            >
              leave out
            </button>
          </li>
        ))}
      </ul>
      <details open={lots.length === 0}>
        <summary>{lots.length === 0 ? 'Choose lots' : 'Further lots'}</summary>
        <TextField
          label="Code or name"
          type="search"
          value={lotWords.value}
          onInput={(words) => void listLots(words)}
        />
        <ul class="label-found">
          {others.map(({ code, name, strength }) => (
            <li key={code}>
              <button type="button" onClick={() => go([...lots, code])}>
                <b>{code}</b> <span>{name}</span> <small>{strength}</small>
              </button>
            </li>
          ))}
        </ul>
        {listed !== null && listed.lots.length === 0 && <p class="soft">No lot has this.</p>}
        {listed !== null && listed.more > 0 && <p class="soft">And {listed.more} more: type further.</p>}
      </details>
    </section>
  );
}

/** What does not fit or is printed otherwise, said before it is printed. */
function Told({ preview }: { preview: LabelPreview }) {
  if (preview.told.length === 0)
    return (
      <p class="label-fits" role="status">
        Everything fits. No writing is smaller than 6 pt.
      </p>
    );
  return (
    <div class="label-told" role="status">
      <h3 class="caption">Before you print</h3>
      <ul>
        {preview.told.map(({ lot, which, text }) => (
          <li key={`${lot} ${which} ${text}`}>
            <b>
              {lot}, {which}:
            </b>{' '}
            {text}
          </li>
        ))}
      </ul>
      <p class="soft">No writing is smaller than 6 pt. Larger labels, or a shorter name, hold more.</p>
    </div>
  );
}

function Actions({ lots, ready }: { lots: readonly string[]; ready: boolean }) {
  const idle = ready && !labelMaking.value;
  const gone = labelsGone.value;
  return (
    <section class="label-actions" aria-label="Print">
      <div class="row">
        <Press
          primary
          disabled={!idle}
          onPress={() => void printLabels(lots, (address) => window.open(address, '_blank', 'noopener'))}
        >
          Print
        </Press>
        <Press disabled={!idle} onPress={() => void saveLabels(lots, 'labels', download)}>
          Save as PDF
        </Press>
        <Press slim disabled={!idle} onPress={() => void saveLabels(lots, 'test-page', download)}>
          Test page
        </Press>
      </div>
      <p class="soft">
        Print at 100 %, nothing fitted to the page, and measure the line under the labels. The test page has
        the edges of every place: hold it with the sheet against the light.
      </p>
      <p role="status">
        {gone?.text}{' '}
        {gone !== null && gone.address !== null && (
          <a href={gone.address} target="_blank" rel="noopener">
            Open it again
          </a>
        )}
      </p>
    </section>
  );
}

/** Labels for bottle and lid of these lots: what is printed, how it lies on its paper, and the way to the printer. */
export function LabelLeaf({ lots }: { lots: readonly string[] }) {
  const key = lots.join('\n');
  useEffect(() => void showLabels(lots), [key]);
  const settings = labelling.value?.settings;
  const preview = labelPreview.value?.lots === key ? labelPreview.value.told : null;
  return (
    <section class="labels" aria-labelledby="labels-name">
      <div class="labels-side" {...scrolls}>
        <h2 id="labels-name">Labels for bottle and lid</h2>
        <Lots lots={lots} />
        {settings !== undefined && layingOut.value === null && (
          <LabelSettingsForm lots={lots} settings={settings} />
        )}
        <LayoutForm lots={lots} />
      </div>
      <section class="labels-sheets" aria-label="Pages" {...scrolls}>
        {layingOut.value === null && <InPlace id="told-labels" trouble={labelTrouble.value} />}
        {lots.length === 0 && (
          <p class="soft">Choose a lot, or several: each gets a label for bottle and lid.</p>
        )}
        {preview !== null && (
          <>
            <Told preview={preview} />
            <Actions lots={lots} ready={preview.labels.every(({ fits }) => fits)} />
            <LabelSheets preview={preview} />
          </>
        )}
      </section>
    </section>
  );
}
