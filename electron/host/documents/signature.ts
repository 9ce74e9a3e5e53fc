import {
  createPrivateKey,
  createPublicKey,
  generateKeyPairSync,
  type KeyObject,
  sign,
  verify,
} from 'node:crypto';
import { closeSync, existsSync, fsyncSync, openSync, readFileSync, statSync, writeSync } from 'node:fs';
import { join } from 'node:path';
import type { RecordFile } from '../../../core/record/record.ts';
import { signedText } from '../../../core/record/signature.ts';
import { HostTrouble } from '../trouble.ts';

const KEY_FILE = 'pourwright.key.pem';

/** The key of this machine that signs records. */
export interface SigningKey {
  /** Base64 of the raw 32 bytes (RFC 8032). */
  readonly publicKey: string;
  sign(record: RecordFile): RecordFile;
}

const keyPath = (folder: string): string => join(folder, KEY_FILE);

/** Whether a key to sign with lies in the folder of the database, sound or not. */
export const hasSigningKey = (folder: string): boolean => existsSync(keyPath(folder));

const rawPublic = (key: KeyObject): string => {
  const { x } = createPublicKey(key).export({ format: 'jwk' });
  return Buffer.from(x ?? '', 'base64url').toString('base64');
};

function made(path: string): void {
  const { privateKey } = generateKeyPairSync('ed25519');
  const file = openSync(path, 'wx', 0o600);
  try {
    writeSync(file, privateKey.export({ type: 'pkcs8', format: 'pem' }).toString());
    fsyncSync(file);
  } finally {
    closeSync(file);
  }
}

/** Whether the key lies where others of this machine can read it. */
const readByOthers = (path: string): boolean =>
  process.platform !== 'win32' && (statSync(path).mode & 0o077) !== 0;

/**
 * The signing key in the folder of the database; made here when there is none, readable by its owner alone. It never
 * leaves the machine by itself: a backup does not hold it.
 * @throws HostTrouble when it cannot be made or read, is of another kind, or others may read it
 */
export function signingKey(folder: string): SigningKey {
  const path = keyPath(folder);
  const trouble = (what: string, next: string): HostTrouble => new HostTrouble(what, path, next);
  let key: KeyObject;
  try {
    if (!existsSync(path)) made(path);
    if (readByOthers(path))
      throw trouble('Others can read the signing key.', `Take their right away: chmod 600 "${path}"`);
    key = createPrivateKey(readFileSync(path, 'utf8'));
  } catch (cause) {
    if (cause instanceof HostTrouble) throw cause;
    throw trouble(
      `The signing key cannot be used: ${cause instanceof Error ? cause.message : String(cause)}.`,
      'Check the file and its rights. Records can be exported without a signature.',
    );
  }
  if (key.asymmetricKeyType !== 'ed25519')
    throw trouble('The signing key is of another kind than Ed25519.', 'Move it away: a new one is made.');
  const publicKey = rawPublic(key);
  return {
    publicKey,
    sign: (record) => ({
      ...record,
      signature: {
        algorithm: 'Ed25519',
        publicKey,
        value: sign(null, Buffer.from(signedText(record), 'utf8'), key).toString('base64'),
      },
    }),
  };
}

/**
 * Whether the signature of a record is of the key that it names; null when it has none. That the key is the maker's
 * must be known from elsewhere.
 */
export function signatureHolds(record: RecordFile): boolean | null {
  const { signature } = record;
  if (signature === undefined) return null;
  const x = Buffer.from(signature.publicKey, 'base64').toString('base64url');
  try {
    const key = createPublicKey({ key: { kty: 'OKP', crv: 'Ed25519', x }, format: 'jwk' });
    return verify(null, Buffer.from(signedText(record), 'utf8'), key, Buffer.from(signature.value, 'base64'));
  } catch (cause) {
    /* 32 bytes that are no point of the curve: nothing was signed by them. */
    if (cause instanceof Error && 'code' in cause) return false;
    throw cause;
  }
}
