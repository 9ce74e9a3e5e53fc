import { momentText } from '../figures/moment.ts';
import { Press } from '../parts/press.tsx';
import { found, lookAt, old, type Sheet, takeAgain } from '../state/formula.ts';
import { fragmentOf } from '../state/route.ts';
import { Comparison } from './comparing.tsx';
import { FormulaLines, ResolvedLines } from './lines.tsx';

type Version = Sheet['versions'][number];

function Batches({ version }: { version: Version }) {
  if (version.batches.length === 0) return <>not poured</>;
  return (
    <ul class="links">
      {version.batches.map((one) => (
        <li key={one.batch}>
          <a href={fragmentOf('records', one.batch)}>
            {one.name}, {momentText(one.started)}
          </a>
          {one.status !== 'closed' && ` ${one.status === 'open' ? 'under way' : one.status}`}
        </li>
      ))}
    </ul>
  );
}

function Row({ sheet, version }: { sheet: Sheet; version: Version }) {
  const open = old.value?.id === sheet.id && old.value.n === version.n;
  return (
    <tr>
      <th scope="row">
        {version.n}
        {version.n === sheet.head && <small>newest</small>}
      </th>
      <td>{version.at.startsWith('1970') ? '–' : momentText(version.at)}</td>
      <td>
        {version.why === '' ? '–' : version.why}
        {version.adopted !== null && (
          <small>
            as made in <a href={fragmentOf('records', version.adopted.batch)}>{version.adopted.name}</a>
          </small>
        )}
        {version.usedBy.map((use) => (
          <small key={`${use.id} ${use.n}`}>
            an accord of{' '}
            <a href={fragmentOf('formulas', use.id)}>
              {use.name}, version {use.n}
            </a>
          </small>
        ))}
      </td>
      <td>
        <Batches version={version} />
      </td>
      <td>
        <Press slim onPress={() => void lookAt(sheet.id, version.n)}>
          {open ? 'Put away' : `Look at ${version.n}`}
        </Press>
      </td>
    </tr>
  );
}

function Old({ sheet }: { sheet: Sheet }) {
  const now = old.value;
  if (now === null || now.id !== sheet.id) return null;
  return (
    <section class="old-version" aria-label={`Version ${now.n}`}>
      <h3 class="caption">
        {now.name}, version {now.n}
      </h3>
      <p class="soft">
        batch {now.batch} g · tolerance {now.tolerance}
        {now.fixed ? ' · it never changes' : ''}
      </p>
      <FormulaLines sheet={now} />
      <ResolvedLines sheet={now} />
      {now.n !== sheet.head && (
        <div class="row">
          <Press onPress={() => void takeAgain(now.id, now.n)}>Make version {now.n} the newest again</Press>
          <span class="soft">It becomes version {sheet.head + 1}; none is lost.</span>
        </div>
      )}
    </section>
  );
}

/** Every version of a formula: when, why, what was poured from it; two laid side by side. */
export function Versions({ sheet }: { sheet: Sheet }) {
  return (
    <>
      <p class="soft">
        A version that was poured, or that another formula has as an accord, never changes: what is saved
        after it is the next.
      </p>
      <table class="versions">
        <caption class="unseen">Versions</caption>
        <thead>
          <tr>
            <th scope="col">Version</th>
            <th scope="col">Saved</th>
            <th scope="col">Why</th>
            <th scope="col">Poured</th>
            <th scope="col">
              <span class="unseen">Look at it</span>
            </th>
          </tr>
        </thead>
        <tbody>
          {sheet.versions.map((version) => (
            <Row key={version.n} sheet={sheet} version={version} />
          ))}
        </tbody>
      </table>
      <Old sheet={sheet} />
      <Comparison sheet={sheet} others={found.value?.rows ?? []} />
    </>
  );
}
