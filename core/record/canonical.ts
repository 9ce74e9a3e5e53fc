/** Anything that JSON can carry. */
export type Json = null | boolean | number | string | readonly Json[] | { readonly [key: string]: Json };

function write(value: unknown, path: string): string {
  if (value === null || typeof value === 'boolean' || typeof value === 'string') return JSON.stringify(value);
  if (typeof value === 'number') {
    if (!Number.isFinite(value))
      throw new RangeError(`${path} is ${value}: not a number that JSON can carry`);
    return JSON.stringify(value);
  }
  if (Array.isArray(value)) return `[${value.map((item, i) => write(item, `${path}[${i}]`)).join(',')}]`;
  if (typeof value === 'object') return writeObject(value, path);
  throw new RangeError(`${path} is a ${typeof value}: not a thing that JSON can carry`);
}

function writeObject(value: object, path: string): string {
  const members = Object.entries(value)
    .filter(([, member]) => member !== undefined)
    .sort(([a], [b]) => (a < b ? -1 : 1))
    .map(([key, member]) => `${JSON.stringify(key)}:${write(member, `${path}.${key}`)}`);
  return `{${members.join(',')}}`;
}

/**
 * The one text of a value: keys sorted by their UTF-16 units at every depth, no spaces, numbers as ECMAScript writes
 * them (the scheme of RFC 8785). Members that are undefined are left out, as in JSON.
 * @throws RangeError naming the place of anything that JSON cannot carry
 */
export function canonicalJson(value: unknown): string {
  return write(value, '$');
}
