import type { Output } from '../../electron/host/table.ts';

/** The bytes that base64 text stands for (RFC 4648). */
function bytesOf(base64: string): Uint8Array<ArrayBuffer> {
  const text = atob(base64);
  const bytes = new Uint8Array(text.length);
  for (let at = 0; at < text.length; at += 1) bytes[at] = text.charCodeAt(at);
  return bytes;
}

/** Hands a file to the browser, which saves it where the person has it save files. */
export function download(file: Output<'records.document'>): void {
  hand(file.name, new Blob([bytesOf(file.base64)], { type: file.type }));
}

/** The same with a page as text. */
export function downloadText(name: string, html: string): void {
  hand(name, new Blob([html], { type: 'text/html' }));
}

function hand(name: string, file: Blob): void {
  const url = URL.createObjectURL(file);
  const link = document.createElement('a');
  link.href = url;
  link.download = name;
  link.click();
  // The browser has taken the blob once the click is handled; a minute leaves time to a slow one.
  setTimeout(() => URL.revokeObjectURL(url), 60_000);
}
