import { next, phase, step } from '../state/bench.ts';

/** What is fetched next, with what to mind about it; beside a line in hand, what to mind about that. */
export function NextBottle() {
  const coming = phase.value === 'bottle' ? next.value : null;
  const cautions = coming?.cautions ?? (phase.value === 'pouring' ? step.value?.cautions : undefined) ?? [];
  if (coming === null && cautions.length === 0) return null;
  return (
    <section class="coming" aria-label={coming === null ? 'To mind' : 'Next bottle'}>
      {coming !== null && step.value !== null && step.value.title !== coming.title && (
        <p>
          <span class="label">next bottle</span> <b class="coming-title">{coming.title}</b>{' '}
          <span class="coming-lot">
            lot <b class="lot-code">{coming.lot}</b>
          </span>{' '}
          {coming.target} g{coming.topUp && ' to top up'}
        </p>
      )}
      {cautions.map((caution) => (
        <p class="soft" key={caution}>
          {caution}
        </p>
      ))}
    </section>
  );
}
