import { createHash, randomBytes, timingSafeEqual } from 'node:crypto';
import type { IncomingMessage } from 'node:http';

/** Why a request is not let in, with its HTTP status. */
export interface Refusal {
  readonly status: number;
  readonly why: string;
}

/** Who may speak to the loopback server: one-time tokens, then a session kept in a cookie. */
export interface Admission {
  /** A new one-time token; those given before and not used are void from now on. */
  token(): string;
  /** Whether the request comes to the right host from the right origin; null when it does. */
  misdirected(request: IncomingMessage): Refusal | null;
  /** Whether the request carries the session. */
  known(request: IncomingMessage): boolean;
  /** Takes `token` if it is the one in force, and uses it up: the cookie to set, or null. */
  admit(token: string): string | null;
}

const secret = (): string => randomBytes(32).toString('base64url');

/** Compares without telling by its time how much was right. */
function same(one: string, other: string): boolean {
  const digest = (text: string) => createHash('sha256').update(text).digest();
  return timingSafeEqual(digest(one), digest(other));
}

function cookieOf(request: IncomingMessage, name: string): string | null {
  for (const part of (request.headers.cookie ?? '').split(';')) {
    const at = part.indexOf('=');
    if (at > 0 && part.slice(0, at).trim() === name) return part.slice(at + 1).trim();
  }
  return null;
}

/**
 * Admission to the server on 127.0.0.1 at `port`. Cookies are shared by all ports of a host, so the cookie's name
 * carries the port.
 */
export function createAdmission(port: number): Admission {
  const host = `127.0.0.1:${port}`;
  const origin = `http://${host}`;
  const cookie = `pourwright-${port}`;
  const session = secret();
  let pending: string | null = null;
  return {
    token: () => {
      pending = secret();
      return pending;
    },
    misdirected: (request) => {
      if (request.headers.host !== host) return { status: 421, why: `This server answers only as ${host}.` };
      const from = request.headers.origin;
      if (from !== undefined && from !== origin)
        return { status: 403, why: 'Another page may not speak to Pourwright.' };
      return null;
    },
    known: (request) => {
      const given = cookieOf(request, cookie);
      return given !== null && same(given, session);
    },
    admit: (token) => {
      if (pending === null || !same(token, pending)) return null;
      pending = null;
      return `${cookie}=${session}; HttpOnly; SameSite=Strict; Path=/`;
    },
  };
}
