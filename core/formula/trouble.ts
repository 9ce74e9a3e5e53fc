/** One thing that is wrong: where it stands, what is wrong with it, and what to do next. */
export interface Problem {
  /** Path in the formula file or the name of what is meant: `lines[2].fraction`, `lot VE-06-10`, `batch`. */
  readonly field: string;
  readonly what: string;
  readonly next: string;
}

/** A formula, or a plan made from it, cannot be used as it stands. Holds every problem found, not only the first. */
export class FormulaTrouble extends Error {
  readonly problems: readonly Problem[];

  constructor(problems: readonly Problem[]) {
    super(problems.map(({ field, what, next }) => `${field}: ${what}. ${next}`).join('\n'));
    this.name = 'FormulaTrouble';
    this.problems = problems;
  }
}

/** A trouble of one problem. */
export const trouble = (field: string, what: string, next: string): FormulaTrouble =>
  new FormulaTrouble([{ field, what, next }]);
