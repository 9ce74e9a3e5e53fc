const PLACES: Readonly<Record<string, string>> = {
  app: 'this window',
  organ: 'Organ',
  formulas: 'Formulas',
  balance: 'Balance',
  pipette: 'Pour',
  bench: 'Pour',
  pour: 'Pour',
  records: 'Records',
};

/** Where a trouble lies, in words: a question to the host is told by its screen, anything else as it stands. */
export function placeText(where: string): string {
  const [, room, rest = ''] = /^([a-z]+)\.[a-z-]+(.*)$/.exec(where) ?? [];
  const place = room === undefined ? undefined : PLACES[room];
  return place === undefined ? where : `${place}${rest}`;
}
