import { momentText } from '../figures/moment.ts';
import { Form, TextField } from '../parts/form.tsx';
import { Press } from '../parts/press.tsx';
import { live, moving, shows } from '../state/bench.ts';
import { wrongAt } from '../state/field-problems.ts';
import { beginSaying, keepSaying, type OpenLot, type Saying, say, saying } from '../state/lot-form.ts';
import { fragmentOf } from '../state/route.ts';

type Now = Saying & NonNullable<typeof saying.value>;

/** What the balance shows, to be taken once it is at rest. */
function OnTheBalance() {
  const { g, link } = live.value;
  if (link !== 'live' || !shows.value || g === null)
    return <p class="soft wide">No reading comes from the balance: type what its display shows.</p>;
  return (
    <p class="row wide">
      <span class="big weigh-figure" data-drawn={moving.value ? 'hollow' : 'solid'}>
        {g} g
      </span>
      <span role="status">{moving.value ? 'moving' : 'settled'}</span>
      <Press disabled={moving.value} onPress={() => say({ gross: g })}>
        Take this reading
      </Press>
    </p>
  );
}

function Weighing({ now }: { now: Now }) {
  return (
    <>
      <p class="wide">
        Put the bottle with its content and its cap on the empty balance, zeroed. What it weighs less the
        empty bottle is what it holds.
      </p>
      <OnTheBalance />
      <TextField
        label="Bottle with its content, g"
        figure
        value={now.gross}
        wrong={wrongAt(now.problems, 'gross')}
        onInput={(gross) => say({ gross })}
      />
      <TextField
        label="Empty bottle with its cap, g"
        figure
        hint="Kept for the next time."
        value={now.empty}
        wrong={wrongAt(now.problems, 'empty')}
        onInput={(empty) => say({ empty })}
      />
    </>
  );
}

const SAYS: Readonly<Record<Saying['kind'], string>> = {
  weighed: 'Weigh the bottle',
  corrected: 'Correct the stock',
  received: 'More came in',
};

function Say({ now }: { now: Now }) {
  return (
    <Form name={SAYS[now.kind]} onSubmit={() => void keepSaying()}>
      {now.kind === 'weighed' ? (
        <Weighing now={now} />
      ) : (
        <TextField
          label="The bottle holds now, g"
          figure
          hint="Its whole content, not the difference."
          value={now.g}
          wrong={wrongAt(now.problems, 'g')}
          onInput={(g) => say({ g })}
        />
      )}
      <TextField
        label="Why"
        hint="Spilt, given away, topped up: as you will want to read it."
        value={now.why}
        onInput={(why) => say({ why })}
      />
      <div class="row">
        <button type="submit" class="press">
          Keep this stock
        </button>
        <Press
          slim
          onPress={() => {
            saying.value = null;
          }}
        >
          Leave it
        </Press>
      </div>
    </Form>
  );
}

function History({ open: { sheet } }: { open: OpenLot }) {
  if (sheet === null || sheet.history.length === 0) return <p class="soft">Nothing was said of it yet.</p>;
  return (
    <ol class="stock-history" aria-label="What was said of it and poured from it">
      {sheet.history.map(({ at, what, g, text, batch }) => (
        <li key={`${at} ${what} ${batch ?? ''}`} data-what={what}>
          <time dateTime={at}>{momentText(at)}</time>
          <b>
            {what === 'poured' ? '− ' : ''}
            {g} g
          </b>
          {batch === null ? <span>{text}</span> : <a href={fragmentOf('records', batch)}>{text}</a>}
        </li>
      ))}
    </ol>
  );
}

const isNegative = (stock: string): boolean => stock.startsWith('-');

/** What a bottle holds, how that was got, and the ways to set it right. */
export function Stock({ open }: { open: OpenLot }) {
  const { sheet } = open;
  const now = saying.value;
  if (sheet === null) return null;
  return (
    <section aria-labelledby="stock">
      <h3 id="stock" class="caption">
        Stock
      </h3>
      <p class="stock-now">
        {sheet.stock === null ? 'not known' : <b>{sheet.stock} g</b>}
        {sheet.stock !== null && isNegative(sheet.stock) && (
          <span class="in-place"> More was poured than was said to be there: weigh the bottle.</span>
        )}
      </p>
      {now === null ? (
        <p class="row">
          {(['weighed', 'corrected', 'received'] as const).map((kind) => (
            <Press slim key={kind} onPress={() => beginSaying(kind)}>
              {SAYS[kind]}
            </Press>
          ))}
        </p>
      ) : (
        <Say now={now} />
      )}
      <History open={open} />
    </section>
  );
}
