import { createRequire } from 'node:module';

/**
 * The libraries that draw documents, each loaded when the first document is drawn: they take a good part of a second,
 * and a program that starts to weigh does not wait for them.
 */
const require = createRequire(import.meta.url);

type Pdf = typeof import('pdfkit');
type Fonts = typeof import('fontkit');
type Codes = typeof import('bwip-js/node');

export const pdfLibrary = (): Pdf => require('pdfkit') as Pdf;
export const fontLibrary = (): Fonts => require('fontkit') as Fonts;
export const codeLibrary = (): Codes => require('bwip-js/node') as Codes;

/** Path of a file of an installed package. */
export const packageFile = (name: string): string => require.resolve(name);
