import { useEffect } from 'preact/hooks';
import { InPlace } from '../parts/in-place.tsx';
import { Press } from '../parts/press.tsx';
import { pour } from '../state/bench.ts';
import { leave } from '../state/doing.ts';
import { labelsItem } from '../state/labels.ts';
import { fragmentOf } from '../state/route.ts';
import { label, offerShelf, type Shelving, shelve, shelving } from '../state/shelf.ts';
import { fetchFormulas, formulas } from '../state/workshop.ts';

/** Leaves the bench where this batch is still on it, and goes to the plan that had waited. */
async function goOn(batch: string): Promise<void> {
  if (pour.value?.batch === batch) await leave();
  location.hash = fragmentOf('pour');
}

function Done({ now }: { now: Shelving }) {
  const { back } = now;
  const then = formulas.value?.find((one) => one.id === back?.formula)?.name ?? back?.formula;
  return (
    <div class="shelved" role="status">
      <p class="on-shelf">
        On the shelf as{' '}
        <a href={fragmentOf('organ', `lot:${now.offer.code}`)}>
          <b>{now.offer.code}</b>
        </a>
        , {now.offer.name}.
      </p>
      <div class="row">
        <a class="press slim" href={fragmentOf('organ', labelsItem([now.offer.code]))}>
          Labels for bottle and lid
        </a>
      </div>
      {back !== null && (
        <div class="row">
          <Press onPress={() => void goOn(now.batch)}>Go on with {then}</Press>
          <span class="soft">It is planned again with this lot.</span>
        </div>
      )}
    </div>
  );
}

function Label({ now }: { now: Shelving }) {
  const wrong = now.trouble !== null;
  return (
    <form
      class="fields shelf-label"
      onSubmit={(event) => {
        event.preventDefault();
        void shelve();
      }}
    >
      <label>
        Code
        <input
          type="text"
          autoComplete="off"
          spellcheck={false}
          maxLength={24}
          aria-invalid={wrong}
          aria-describedby={wrong ? 'told-shelf' : undefined}
          value={now.code}
          onInput={(event) => label({ code: event.currentTarget.value })}
        />
      </label>
      <label>
        Name
        <input
          type="text"
          autoComplete="off"
          maxLength={80}
          value={now.name}
          onInput={(event) => label({ name: event.currentTarget.value })}
        />
      </label>
      <button type="submit" class="press">
        Put it on the shelf
      </button>
      <InPlace id="told-shelf" trouble={now.trouble} />
    </form>
  );
}

/** A closed batch becomes a lot with what it holds as made; a plan that waited for it is planned again. */
export function ShelfOffer({ batch }: { batch: string }) {
  useEffect(() => {
    void fetchFormulas();
    void offerShelf(batch);
  }, [batch]);
  const now = shelving.value;
  if (now === null || now.batch !== batch) return null;
  return (
    <section class="to-shelf" aria-label="As a lot on the shelf">
      {now.offer.done ? <Done now={now} /> : <Label now={now} />}
    </section>
  );
}
