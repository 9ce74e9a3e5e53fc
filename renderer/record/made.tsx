import { useSignal } from '@preact/signals';
import type { RecordView } from '../../electron/host/table.ts';
import { HowGot, Opens } from '../parts/opens.tsx';
import { StrengthScale } from './strength-scale.tsx';

/** What is computed from densities and not measured, marked as such. */
export function Estimates({ record: { estimates } }: { record: RecordView }) {
  if (estimates === null) return null;
  return (
    <section class="estimates" aria-label="Estimates">
      <dl class="ledger">
        <div>
          <dt>volume, estimated</dt>
          <dd>{estimates.volume}</dd>
        </div>
        <div>
          <dt>ethanol, estimated</dt>
          <dd>{estimates.ethanol}</dd>
        </div>
        <div>
          <dt>density, estimated</dt>
          <dd>{estimates.density}</dd>
        </div>
      </dl>
      <p class="soft">{estimates.note}</p>
    </section>
  );
}

/** What became of a batch: strength with its uncertainty and how it was got, closure and cost. */
export function Made({ record }: { record: RecordView }) {
  const open = useSignal(false);
  return (
    <section class="made" aria-label="As made">
      <dl class="ledger">
        <div>
          <dt>strength as made</dt>
          <dd>
            <Opens
              figure={record.strength.asMade}
              of="strength as made"
              open={open}
              controls="strength-got"
            />
            <small>U {record.strength.u} (k = 2)</small>
          </dd>
        </div>
        <div>
          <dt>target strength</dt>
          <dd>{record.strength.target}</dd>
        </div>
        <div>
          <dt>poured in all</dt>
          <dd>{record.total === null ? '–' : `${record.total} g`}</dd>
        </div>
        <div>
          <dt>closure</dt>
          <dd>{record.closure === null ? '–' : `${record.closure.replace('-', '−')} g`}</dd>
        </div>
        <div>
          <dt>cost</dt>
          <dd>{record.cost}</dd>
        </div>
      </dl>
      <StrengthScale scale={record.strength.scale} />
      <div id="strength-got">{open.value && <HowGot lines={record.strength.workings} />}</div>
      {record.closureText !== null && <p class="soft">Closure: {record.closureText}</p>}
    </section>
  );
}
