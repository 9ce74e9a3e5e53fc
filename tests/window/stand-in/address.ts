/**
 * A browser asks nobody for an address of an unknown scheme, so `scheme://host/path` is shown to it as
 * `https://host.scheme.test/path` (RFC 6761: `.test` is never a real host), and back.
 */
export function shown(address: string): string {
  const match = /^([a-z]+):\/\/([a-z]+)(\/.*)$/.exec(address);
  if (match === null) throw new Error(`The stand-in cannot show ${address}.`);
  return `https://${match[2]}.${match[1]}.test${match[3]}`;
}

/** The program's own address of what the browser shows; any other address as it is. */
export function own(address: string): string {
  return address.replace(/^https:\/\/([a-z]+)\.([a-z]+)\.test\//, '$2://$1/');
}
