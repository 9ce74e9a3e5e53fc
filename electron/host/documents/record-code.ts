import { drawSymbol, symbolOf } from './symbol.ts';

/** Draws the code of a document, with the light border that its standard asks for. */
export function drawCode(page: PDFKit.PDFDocument, text: string, x: number, y: number, side: number): void {
  drawSymbol(page, symbolOf('qr', text), x, y, side);
}
