import { useEffect } from 'preact/hooks';
import { download } from '../parts/download.ts';
import { Press } from '../parts/press.tsx';
import { type CareView, care, fetchAll, handedOver, handOver, history, making, run } from '../state/care.ts';
import { benchId } from '../state/host.ts';
import { fragmentOf, route } from '../state/route.ts';
import { Checking } from './checking.tsx';
import { Order } from './order.tsx';
import { Past } from './past.tsx';
import { Limits, ProfileForm } from './profile.tsx';
import { VerdictShape } from './verdict.tsx';
import { CHECKS } from './words.ts';

function Side({ at }: { readonly at: string }) {
  return (
    <nav class="list" aria-label="Care of the balance">
      <ul>
        <li>
          <a href={fragmentOf('balance', 'care')} aria-current={at === '' ? 'true' : undefined}>
            <b>This balance</b>
            <small>Name, limits, reminders</small>
          </a>
        </li>
        {CHECKS.map(({ kind, title }) => {
          const last = history.value.find((row) => row.kind === kind);
          return (
            <li key={kind}>
              <a href={fragmentOf('balance', `care:${kind}`)} aria-current={at === kind ? 'true' : undefined}>
                <b>{title}</b>
                <small>{last === undefined ? 'not made yet' : <VerdictShape verdict={last.verdict} />}</small>
              </a>
            </li>
          );
        })}
      </ul>
    </nav>
  );
}

function HandOver() {
  return (
    <section class="hand-over" aria-labelledby="hand-over-care">
      <h3 id="hand-over-care" class="caption">
        Hand over
      </h3>
      <p class="row">
        <Press slim disabled={making.value !== null} onPress={() => void handOver('pdf', download)}>
          Checks to print, PDF
        </Press>
        <Press slim disabled={making.value !== null} onPress={() => void handOver('csv', download)}>
          Checks with every figure, CSV
        </Press>
        <span role="status" class="soft">
          {making.value !== null ? 'It is being made.' : handedOver.value}
        </span>
      </p>
    </section>
  );
}

/** How the balance stood when it was last checked. */
function Stands({ view }: { readonly view: CareView }) {
  const { check } = view;
  return (
    <p class="stands">
      <VerdictShape verdict={check.verdict} /> {check.verdict !== 'none' && check.text}
      {check.overdue && <b> {check.at === null ? 'Check it with a check weight.' : 'Overdue.'}</b>}
    </p>
  );
}

function ThisBalance({ view }: { readonly view: CareView }) {
  return (
    <section class="paper" aria-labelledby="this-balance">
      <h2 id="this-balance">{view.name}</h2>
      <p class="soft">Known again as {view.knownBy}.</p>
      <Stands view={view} />
      <section aria-labelledby="reminders">
        <h3 id="reminders" class="caption">
          Before weighing
        </h3>
        <ul class="reminders">
          {view.reminders.map((one) => (
            <li key={one}>{one}</li>
          ))}
        </ul>
      </section>
      <Limits view={view} />
      <h3 class="caption">Profile</h3>
      <ProfileForm key={`${benchId.value} ${view.id}`} view={view} />
      <HandOver />
    </section>
  );
}

function OneCheck({ at, view }: { readonly at: (typeof CHECKS)[number]; readonly view: CareView }) {
  return (
    <section class="paper" aria-labelledby="one-check">
      <h2 id="one-check">{at.title}</h2>
      <p>{at.tells}</p>
      {at.kind === 'daily' && <Stands view={view} />}
      <Order key={`${view.id} ${at.kind}`} kind={at.kind} />
      <Past key={at.kind} rows={history.value.filter((row) => row.kind === at.kind)} />
      <HandOver />
    </section>
  );
}

/** Care: what is known of this balance, its checks and their history; a check under way takes the leaf. */
export function CareLeaf() {
  useEffect(() => void fetchAll(), [benchId.value]);
  const view = care.value;
  const now = run.value;
  if (now !== null) return <Checking now={now} />;
  const at = route.value.item?.split(':')[1] ?? '';
  const check = CHECKS.find((one) => one.kind === at);
  return (
    <div class="screen-body sided care">
      <Side at={check === undefined ? '' : at} />
      {view !== null &&
        (check === undefined ? <ThisBalance view={view} /> : <OneCheck at={check} view={view} />)}
    </div>
  );
}
