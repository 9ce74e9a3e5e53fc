import { Press } from '../parts/press.tsx';
import { putRefusalAway, refusal } from '../state/bottle.ts';

/** A code that was not taken, as large as the bench: of a wrong bottle, both lots one above the other. */
export function Refused() {
  const told = refusal.value;
  if (told === null) return null;
  const { code, wanted, trouble } = told;
  const wrong = wanted !== null && code !== wanted && trouble.what.startsWith('Wrong bottle');
  return (
    <section class="refused" role="alert" aria-label="Not taken">
      {wrong ? (
        <>
          <h2>Wrong bottle</h2>
          <dl>
            <div>
              <dt>in hand</dt>
              <dd class="is">{code}</dd>
            </div>
            <div>
              <dt>wanted</dt>
              <dd>{wanted}</dd>
            </div>
          </dl>
        </>
      ) : (
        <h2 class="lesser">{trouble.what}</h2>
      )}
      <p>{trouble.next}</p>
      <Press primary keyName="Space" onPress={putRefusalAway}>
        {wrong ? 'It is put back' : 'Understood'}
      </Press>
    </section>
  );
}
