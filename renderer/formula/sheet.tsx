import { Leaves } from '../parts/leaves.tsx';
import { Press } from '../parts/press.tsx';
import { PlanSheet } from '../plan/sheet.tsx';
import { underWay } from '../state/bench.ts';
import type { Sheet } from '../state/formula.ts';
import { fresh } from '../state/planning.ts';
import { fragmentOf } from '../state/route.ts';
import { isKept } from '../state/writing.ts';
import { FormulaFigures } from './figures.tsx';
import { FormulaLines, ResolvedLines } from './lines.tsx';
import { FormulaPicture } from './picture.tsx';
import { TrialsOfFormula } from './trials.tsx';
import { Versions } from './versions.tsx';
import { Writing } from './writing.tsx';

function PlanLeaf({ sheet }: { sheet: Sheet }) {
  return (
    <>
      <div class="row plan-head">
        <p class="soft">
          version {sheet.n} · batch {sheet.batch} g · tolerance {sheet.tolerance}
        </p>
        {underWay.value && <span class="soft">A batch is on the bench.</span>}
        <Press
          primary
          disabled={underWay.value || !fresh.value}
          onPress={() => {
            location.hash = fragmentOf('pour');
          }}
        >
          Pour this plan
        </Press>
      </div>
      <FormulaLines sheet={sheet} />
      <ResolvedLines sheet={sheet} />
      <FormulaFigures />
      <FormulaPicture picture={sheet.picture} />
      <h3 class="caption">Plan</h3>
      <PlanSheet />
    </>
  );
}

/** One formula: its lines and plan, the editor, its versions. */
export function FormulaPaper({ sheet, leaf }: { sheet: Sheet; leaf: string | null }) {
  const at = (name?: string) => fragmentOf('formulas', sheet.id, name);
  return (
    <section class="paper formula" aria-labelledby="formula-name">
      <h2 id="formula-name">{sheet.name}</h2>
      <Leaves
        of={sheet.name}
        leaves={[
          { href: at(), says: 'Lines and plan', here: leaf === null },
          { href: at('write'), says: isKept(sheet.id) ? 'Write (unsaved)' : 'Write', here: leaf === 'write' },
          { href: at('versions'), says: 'Versions', here: leaf === 'versions', count: sheet.versions.length },
          { href: at('trials'), says: 'Trials', here: leaf === 'trials' },
        ]}
      />
      {leaf === 'write' ? (
        <Writing id={sheet.id} />
      ) : leaf === 'versions' ? (
        <Versions sheet={sheet} />
      ) : leaf === 'trials' ? (
        <TrialsOfFormula id={sheet.id} />
      ) : (
        <PlanLeaf sheet={sheet} />
      )}
    </section>
  );
}
