import { Pick, TextField } from '../parts/form.tsx';
import { Press } from '../parts/press.tsx';
import { wrongAt } from '../state/field-problems.ts';
import { type Contents, type OpenLot, typeContents } from '../state/lot-form.ts';
import { choices } from '../state/organ.ts';

const KINDS = [
  { value: 'neat', says: 'neat' },
  { value: 'purity', says: 'neat, of a stated purity' },
  { value: 'dilution', says: 'a dilution in a solvent' },
  { value: 'composition', says: 'a composition' },
] as const;

const UNCHOSEN = { value: '', says: 'choose' };

const materials = () =>
  [UNCHOSEN].concat((choices.value?.materials ?? []).map(({ key, name }) => ({ value: key, says: name })));

function Strength({ contents, wrong }: { contents: Contents; wrong: (field: string) => string | null }) {
  const { kind, percent, u, solvent } = contents;
  return (
    <>
      <TextField
        label={kind === 'purity' ? 'Purity, % by mass' : 'Strength, % by mass'}
        figure
        value={percent}
        wrong={wrong('percent')}
        hint={kind === 'purity' ? 'The rest is kept as undeclared.' : undefined}
        onInput={(value) => typeContents({ percent: value })}
      />
      <TextField
        label="Standard uncertainty, %"
        figure
        hint="Where it is known; half of a U with k = 2."
        value={u}
        wrong={wrong('u')}
        onInput={(value) => typeContents({ u: value })}
      />
      {kind === 'dilution' && (
        <Pick
          label="Diluted with"
          value={solvent}
          wrong={wrong('solvent')}
          options={[UNCHOSEN].concat(choices.value?.solvents ?? [])}
          onPick={(value) => typeContents({ solvent: value })}
        />
      )}
    </>
  );
}

function Parts({ contents, wrong }: { contents: Contents; wrong: (field: string) => string | null }) {
  const { parts } = contents;
  const put = (at: number, part: Partial<(typeof parts)[number]>): void =>
    typeContents({ parts: parts.map((row, i) => (i === at ? { ...row, ...part } : row)) });
  const all = wrong('parts');
  return (
    <fieldset class="rows">
      <legend>What is in it, 100 % together</legend>
      {parts.map((row, at) => (
        <div class="row-fields" key={at}>
          <Pick
            label="Material"
            value={row.material}
            options={materials()}
            wrong={wrong(`parts.${at}.material`)}
            onPick={(material) => put(at, { material })}
          />
          <TextField
            label="% by mass"
            figure
            value={row.percent}
            wrong={wrong(`parts.${at}.percent`)}
            onInput={(percent) => put(at, { percent })}
          />
          <TextField
            label="Standard uncertainty, %"
            figure
            value={row.u}
            wrong={wrong(`parts.${at}.u`)}
            onInput={(u) => put(at, { u })}
          />
          <Press slim onPress={() => typeContents({ parts: parts.filter((_, i) => i !== at) })}>
            Take away
          </Press>
        </div>
      ))}
      {all !== null && <p class="in-place">{all}</p>}
      <Press slim onPress={() => typeContents({ parts: [...parts, { material: '', percent: '', u: '' }] })}>
        Add a part
      </Press>
    </fieldset>
  );
}

/** What a lot holds: neat, of a purity, a dilution, or part by part. What batches were poured from stays as it is. */
export function ContentsFields({ open }: { open: OpenLot }) {
  const { contents } = open.form;
  const wrong = (field: string): string | null => wrongAt(open.problems, field);
  const { sheet } = open;
  if (sheet !== null && sheet.fixed !== null)
    return (
      <div class="wide fixed-contents">
        <p>
          {sheet.parts.map(({ key, name, percent, u }, at) => (
            <span key={key}>
              {at > 0 && ', '}
              {name} {percent}
              {u !== null && ` (u ${u})`}
            </span>
          ))}
        </p>
        <p class="soft">{sheet.fixed}</p>
      </div>
    );
  return (
    <>
      <Pick label="It is" value={contents.kind} options={KINDS} onPick={(kind) => typeContents({ kind })} />
      {contents.kind === 'composition' ? (
        <Parts contents={contents} wrong={wrong} />
      ) : (
        <>
          <Pick
            label="Material"
            value={contents.material}
            options={materials()}
            wrong={wrong('material')}
            onPick={(material) => typeContents({ material })}
          />
          {contents.kind !== 'neat' && <Strength contents={contents} wrong={wrong} />}
        </>
      )}
    </>
  );
}
