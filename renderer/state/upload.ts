import { signal } from '@preact/signals';
import { ask } from './host.ts';

/** Bytes of a part: as base64 text it fits a message to the host with room to spare. */
const PART = 30_000;

/** How much of the file that is being sent has gone, 0 to 1; null while none is. */
export const sending = signal<number | null>(null);

function base64Of(bytes: Uint8Array): string {
  let text = '';
  for (const byte of bytes) text += String.fromCharCode(byte);
  return btoa(text);
}

/** Sends a file to the host in parts. @returns the name the host knows it by; null when it could not be sent */
export async function send(name: string, bytes: Uint8Array): Promise<string | null> {
  sending.value = 0;
  try {
    const begun = await ask('files.begin', { name, size: bytes.length });
    if (begun === null) return null;
    for (let at = 0; at < bytes.length; at += PART) {
      const part = await ask('files.part', {
        file: begun.file,
        base64: base64Of(bytes.subarray(at, at + PART)),
      });
      if (part === null) return null;
      sending.value = part.have / bytes.length;
    }
    return begun.file;
  } finally {
    sending.value = null;
  }
}
