import { codeLibrary } from './libraries.ts';

/** Codes to scan: QR (ISO/IEC 18004, level M) and Data Matrix (ISO/IEC 16022, ECC 200). */
export type SymbolKind = 'qr' | 'data-matrix';

/** A code as dark squares on a square grid, with the light border that its standard asks for. */
export interface CodeSymbol {
  /** Squares along one side, border included. */
  readonly across: number;
  /** Runs of dark squares: column and row of the first, and how many. */
  readonly runs: readonly { readonly column: number; readonly row: number; readonly long: number }[];
}

const LIBRARY = {
  qr: { name: 'qrcode', options: 'eclevel=M', border: 4 },
  'data-matrix': { name: 'datamatrix', options: '', border: 1 },
} as const;

/** @throws Error when the text is longer than the code can hold */
export function symbolOf(kind: SymbolKind, text: string): CodeSymbol {
  const { name, options, border } = LIBRARY[kind];
  const [made] = codeLibrary().raw(name, text, options);
  if (made === undefined || !('pixs' in made)) throw new Error('the code could not be made');
  const { pixs, pixx, pixy } = made;
  const runs: { column: number; row: number; long: number }[] = [];
  for (let row = 0; row < pixy; row += 1)
    for (let column = 0; column < pixx; column += 1) {
      if (pixs[row * pixx + column] !== 1) continue;
      let long = 1;
      while (column + long < pixx && pixs[row * pixx + column + long] === 1) long += 1;
      runs.push({ column: column + border, row: row + border, long });
      column += long;
    }
  return { across: pixx + 2 * border, runs };
}

/** Draws a code in a square of `side`, in the units of the page. */
export function drawSymbol(
  page: PDFKit.PDFDocument,
  { across, runs }: CodeSymbol,
  x: number,
  y: number,
  side: number,
): void {
  const module = side / across;
  for (const { column, row, long } of runs)
    page.rect(x + column * module, y + row * module, long * module, module * 1.01);
  page.fill('#000000');
}
