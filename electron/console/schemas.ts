import { writeFileSync } from 'node:fs';
import { resolve } from 'node:path';
import { formulaSchema } from '../../core/formula/file-schema.ts';
import { recordSchema } from '../../core/record/record.ts';
import { formulasSchema, organSchema } from '../../core/record/workshop-file.ts';

const ROOT = resolve(import.meta.dirname, '../..');

/** Every schema file that is kept beside the code it is made from, by its path from the root of the project. */
export const SCHEMAS: Readonly<Record<string, () => object>> = {
  'core/formula/formula.schema.json': formulaSchema,
  'core/record/formulas.schema.json': formulasSchema,
  'core/record/organ.schema.json': organSchema,
  'core/record/record.schema.json': recordSchema,
};

/** The text of a schema file. */
export const schemaText = (schema: () => object): string => `${JSON.stringify(schema(), null, 2)}\n`;

if (import.meta.main)
  for (const [path, schema] of Object.entries(SCHEMAS)) {
    writeFileSync(resolve(ROOT, path), schemaText(schema));
    process.stdout.write(`${path}\n`);
  }
