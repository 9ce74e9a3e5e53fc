/** The command was used wrongly, or its input cannot be used: what, where, and what to do next. */
export class WrongInput extends Error {
  readonly where: string;
  readonly next: string;
  constructor(what: string, where: string, next: string, cause?: unknown) {
    super(what, cause === undefined ? undefined : { cause });
    this.name = 'WrongInput';
    this.where = where;
    this.next = next;
  }
}
