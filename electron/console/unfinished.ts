/** What was asked could not be done, though it was asked rightly: what, where, and what to do next. */
export class Unfinished extends Error {
  readonly where: string;
  readonly next: string;
  constructor(what: string, where: string, next: string) {
    super(what);
    this.name = 'Unfinished';
    this.where = where;
    this.next = next;
  }
}
