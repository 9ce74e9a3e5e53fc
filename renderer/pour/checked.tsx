import { check } from '../state/bench.ts';

/** The closing check: by how much the whole differs from the sum of its parts, and what the empty pan read. */
export function Checked() {
  const told = check.value;
  if (told === null) return null;
  const { closure, limit, passes, pan } = told;
  return (
    <section class="checked" aria-label="Closing check">
      <p class={passes ? '' : 'failed'}>
        <b>{passes ? 'Closes' : 'Does not close'}</b>: the whole differs by {closure} g from the sum of the
        pours, limit {limit} g.
      </p>
      <p class={pan === null || pan.passes ? '' : 'failed'}>
        {pan === null ? (
          'Lift the vessel: the empty pan is read next.'
        ) : (
          <>
            <b>{pan.passes ? 'The zero held' : 'The zero moved'}</b>: the empty pan read {pan.read} g,
            expected {pan.expected} g.
          </>
        )}
      </p>
    </section>
  );
}
