import { codeLibrary } from './libraries.ts';

/** Draws a code (ISO/IEC 18004) as black squares, with the four light modules around it that the standard asks for. */
export function drawCode(page: PDFKit.PDFDocument, text: string, x: number, y: number, side: number): void {
  const [made] = codeLibrary().raw('qrcode', text, 'eclevel=M');
  if (made === undefined || !('pixs' in made)) throw new Error('the code could not be made');
  const { pixs, pixx, pixy } = made;
  const quiet = 4;
  const module = side / (pixx + 2 * quiet);
  for (let row = 0; row < pixy; row += 1)
    for (let column = 0; column < pixx; column += 1)
      if (pixs[row * pixx + column] === 1)
        page.rect(x + (column + quiet) * module, y + (row + quiet) * module, module * 1.01, module * 1.01);
  page.fill('#000000');
}
