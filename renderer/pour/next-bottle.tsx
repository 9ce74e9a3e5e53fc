import { cautions, next, phase, step } from '../state/bench.ts';

/** What is fetched next, with what to mind about it; beside a line in hand, what to mind about that. */
export function NextBottle() {
  const coming = phase.value === 'bottle' ? next.value : null;
  const due = coming === null ? [] : cautions.value;
  const told = coming?.cautions ?? (phase.value === 'pouring' ? step.value?.cautions : undefined) ?? [];
  const minded = told.filter((one) => !due.some(({ text }) => text === one));
  if (coming === null && minded.length === 0) return null;
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
      {due[0] !== undefined && (
        <ul class="due" aria-label="Before this bottle">
          {due.map(({ key, text }) => (
            <li key={key}>{text}</li>
          ))}
        </ul>
      )}
      {minded.map((caution) => (
        <p class="soft" key={caution}>
          {caution}
        </p>
      ))}
    </section>
  );
}
