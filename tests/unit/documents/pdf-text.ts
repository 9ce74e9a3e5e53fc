import { getDocument } from 'pdfjs-dist/legacy/build/pdf.mjs';

/** All text of a PDF as another program reads it, without spaces. */
export async function pdfText(bytes: Buffer): Promise<string> {
  const task = getDocument({ data: new Uint8Array(bytes), useSystemFonts: false, verbosity: 0 });
  const pdf = await task.promise;
  let text = '';
  for (let page = 1; page <= pdf.numPages; page += 1) {
    const { items } = await (await pdf.getPage(page)).getTextContent();
    text += items.map((item) => ('str' in item ? item.str : '')).join(' ');
  }
  await task.destroy();
  return text.normalize('NFKC').replace(/\s+/g, '');
}
