import { found } from '../state/finding.ts';
import { KeptSafe } from './keeping.tsx';
import { WhereWent } from './recall.tsx';
import { Signing } from './signing.tsx';
import { StrengthOverTime } from './strengths.tsx';

/** What is asked of all records together; shown while none is open. */
export function OverAll() {
  const all = found.value?.all ?? 0;
  return (
    <div class="paper all-batches">
      {all > 0 && <p class="soft">Open a record from the list.</p>}
      <WhereWent />
      <StrengthOverTime />
      <Signing />
      <KeptSafe />
    </div>
  );
}
