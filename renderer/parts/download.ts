import type { ExportedFile } from '../../electron/host/table.ts';

/** Hands a file to the browser, which saves it where the person has it save files. */
export function download(file: ExportedFile): void {
  const url = URL.createObjectURL(new Blob([file.text], { type: file.type }));
  const link = document.createElement('a');
  link.href = url;
  link.download = file.name;
  link.click();
  // The browser has taken the blob once the click is handled; a minute leaves time to a slow one.
  setTimeout(() => URL.revokeObjectURL(url), 60_000);
}
