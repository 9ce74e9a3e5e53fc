import { useEffect } from 'preact/hooks';
import { ComparedLines } from '../formula/comparing.tsx';
import { TextField } from '../parts/form.tsx';
import { InPlace } from '../parts/in-place.tsx';
import { Press } from '../parts/press.tsx';
import { type Adopting, adopting, adoptNow, changeAdopting, tellAdoptable } from '../state/adopting.ts';
import { fragmentOf } from '../state/route.ts';

function From({ told }: { told: Adopting['told'] }) {
  if (told.n === null) return <p class="soft">Its formula, {told.name}, is not in this workshop.</p>;
  return (
    <p>
      Poured from{' '}
      <a href={fragmentOf('formulas', told.id, 'versions')}>
        {told.name}, version {told.n}
      </a>
      .
    </p>
  );
}

function Offer({ now }: { now: Adopting }) {
  const { offer, not } = now.told;
  if (offer === null) return not === null ? null : <p class="soft">{not}</p>;
  if (!now.open)
    return (
      <div class="row">
        <Press slim onPress={() => changeAdopting({ open: true })}>
          Adopt as made
        </Press>
        <span class="soft">What was really poured becomes the next version of the formula.</span>
      </div>
    );
  return (
    <>
      <ComparedLines told={offer.comparison} caption="What would change" />
      <TextField
        label="Why"
        wide
        value={now.why}
        maxLength={500}
        onInput={(why) => changeAdopting({ why })}
      />
      <InPlace id="told-adopt" trouble={now.trouble} />
      <div class="row">
        <Press onPress={() => void adoptNow()}>Make it the next version</Press>
        <Press slim onPress={() => changeAdopting({ open: false })}>
          Leave it
        </Press>
      </div>
    </>
  );
}

/** The formula a batch was poured from, and the gesture that takes over what was really poured. */
export function AdoptAsMade({ batch }: { batch: string }) {
  useEffect(() => void tellAdoptable(batch), [batch]);
  const now = adopting.value;
  if (now === null || now.batch !== batch) return null;
  const { done } = now.told;
  return (
    <section class="adopting" aria-labelledby="its-formula">
      <h3 id="its-formula" class="caption">
        Its formula
      </h3>
      <From told={now.told} />
      {done === null ? (
        <Offer now={now} />
      ) : (
        <p role="status">
          Adopted as made: <a href={fragmentOf('formulas', done.id, 'versions')}>it is version {done.n}</a> of
          the formula.
        </p>
      )}
    </section>
  );
}
