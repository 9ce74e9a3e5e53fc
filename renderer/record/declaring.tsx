import { useEffect } from 'preact/hooks';
import type { DeclarationView } from '../../electron/host/table.ts';
import { InPlace } from '../parts/in-place.tsx';
import { declaration, declare, dose, doseTrouble, USES, use } from '../state/declaring.ts';

type Constituent = DeclarationView['constituents'][number];

const LISTED: Readonly<Record<Constituent['listing'], string>> = {
  text: 'in the table by its number',
  secondary: 'in the table, its name from a secondary source',
  none: 'not in the table',
};

/** To be declared: a full square with its word; else an empty one. */
function Declared({ declare: yes }: { declare: boolean }) {
  return (
    <span class={`declared${yes ? ' yes' : ''}`}>
      <svg class="mark" viewBox="0 0 14 14" aria-hidden="true">
        <rect class={yes ? '' : 'hollow'} x="2" y="2" width="10" height="10" />
      </svg>
      {yes ? 'declare' : 'below'}
    </span>
  );
}

function Constituents({ view }: { view: DeclarationView }) {
  if (view.constituents.length === 0)
    return <p class="soft">No constituent is entered for what this batch holds.</p>;
  return (
    <table>
      <caption>Constituents, declared above {view.threshold}</caption>
      <thead>
        <tr>
          <th scope="col">Constituent</th>
          <th scope="col" class="mass">
            In the product
          </th>
          <th scope="col">Label</th>
          <th scope="col">From</th>
        </tr>
      </thead>
      <tbody>
        {view.constituents.map((one) => (
          <tr key={one.name}>
            <th scope="row">
              {one.name}
              <small>
                {one.cas === null ? '' : `CAS ${one.cas}, `}
                {LISTED[one.listing]}
                {one.remark === null ? '' : `. ${one.remark}`}
              </small>
            </th>
            <td class="mass">{one.percent}</td>
            <td>
              <Declared declare={one.declare} />
            </td>
            <td class="soft">{one.from.join(', ')}</td>
          </tr>
        ))}
      </tbody>
    </table>
  );
}

function Limits({ view }: { view: DeclarationView }) {
  if (view.limits.length === 0) return <p class="soft">No supplier limit is entered for what it holds.</p>;
  return (
    <table>
      <caption>Supplier limits</caption>
      <thead>
        <tr>
          <th scope="col">Material</th>
          <th scope="col" class="mass">
            In the product
          </th>
          <th scope="col" class="mass">
            Limit
          </th>
          <th scope="col">Kept</th>
          <th scope="col" class="mass">
            Highest dose
          </th>
        </tr>
      </thead>
      <tbody>
        {view.limits.map((one) => (
          <tr key={`${one.name} ${one.document}`}>
            <th scope="row">
              {one.name}
              <small>{one.document}</small>
            </th>
            <td class="mass">{one.percent}</td>
            <td class="mass">{one.limit}</td>
            <td class={one.exceeded ? 'exceeded' : ''}>{one.exceeded ? '▲ exceeded' : '● kept'}</td>
            <td class="mass">{one.highestDose}</td>
          </tr>
        ))}
      </tbody>
    </table>
  );
}

function Asked({ batch }: { batch: string }) {
  const wrong = doseTrouble.value !== null;
  return (
    <div class="fields">
      <label class="wide">
        The finished product is
        <select
          value={use.value}
          onChange={(event) => {
            use.value = USES.find((one) => one === event.currentTarget.value) ?? use.value;
            void declare(batch);
          }}
        >
          {USES.map((one) => (
            <option key={one} value={one}>
              {one}
            </option>
          ))}
        </select>
      </label>
      <label>
        Dose in it, %
        <input
          type="text"
          inputMode="decimal"
          autoComplete="off"
          aria-invalid={wrong}
          aria-describedby={wrong ? 'told-dose' : undefined}
          value={dose}
          onInput={(event) => {
            dose.value = event.currentTarget.value;
            void declare(batch);
          }}
        />
      </label>
      <InPlace id="told-dose" trouble={doseTrouble.value} />
    </div>
  );
}

/** What the label of a finished product would have to name, and the supplier limits: never an assessment of safety. */
export function Declaration({ batch }: { batch: string }) {
  useEffect(() => void declare(batch), [batch]);
  const view = declaration.value;
  return (
    <section class="declaration" aria-labelledby="declaration">
      <h3 id="declaration" class="caption">
        Declaration
      </h3>
      <Asked batch={batch} />
      {view !== null && (
        <>
          <p class="advice">{view.note}</p>
          <p>
            {view.highestDose === null ? (
              'No supplier limit bounds the dose.'
            ) : (
              <>
                Highest dose that keeps every supplier limit: <b>{view.highestDose}</b>
              </>
            )}
          </p>
          <Constituents view={view} />
          <Limits view={view} />
          {view.unknown.length > 0 && (
            <p class="in-place">
              <strong>Constituents unknown:</strong> {view.unknown.join(', ')}. Enter them from the supplier's
              document; until then they are not in this table.
            </p>
          )}
        </>
      )}
    </section>
  );
}
