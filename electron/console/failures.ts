import { FormulaTrouble } from '../../core/formula/trouble.ts';
import { LinkTrouble } from '../../drivers/link/balance.ts';
import { StoreTrouble } from '../host/store/trouble.ts';
import { troubleOf } from '../host/trouble.ts';
import { FAILED, type Failure, WRONG } from './failure.ts';
import { WrongInput } from './wrong-input.ts';

/** An error of a command as words for a person; whatever can be put right in the input counts as wrong use. */
export function failureOf(cause: unknown): Failure {
  if (cause instanceof FormulaTrouble)
    return {
      troubles: cause.problems.map(({ field, what, next }) => ({ what, where: field, next })),
      code: WRONG,
    };
  const wrong = cause instanceof WrongInput || cause instanceof LinkTrouble || cause instanceof StoreTrouble;
  return { troubles: [troubleOf(cause, 'console')], code: wrong ? WRONG : FAILED };
}
