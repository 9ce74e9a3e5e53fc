import { readdirSync, readFileSync } from 'node:fs';
import { dirname, join, relative, resolve } from 'node:path';
import { describe, expect, it } from 'vitest';

const ROOT = resolve(import.meta.dirname, '../..');
const ROOMS = ['core', 'drivers', 'electron', 'renderer'] as const;

function sources(folder: string): string[] {
  return readdirSync(join(ROOT, folder), { recursive: true, withFileTypes: true })
    .filter((entry) => entry.isFile() && /\.tsx?$/.test(entry.name))
    .map((entry) => relative(ROOT, join(entry.parentPath, entry.name)));
}

interface Import {
  readonly from: string;
  readonly to: string;
  readonly typeOnly: boolean;
}

function importsOf(file: string): Import[] {
  const text = readFileSync(join(ROOT, file), 'utf8');
  const found: Import[] = [];
  for (const match of text.matchAll(/^\s*(import|export)\s+(type\s+)?[^'";]*?from\s+'(\.[^']+)'/gm)) {
    const target = match[3];
    if (target !== undefined)
      found.push({
        from: file,
        to: relative(ROOT, resolve(ROOT, dirname(file), target)),
        typeOnly: match[2] !== undefined,
      });
  }
  for (const match of text.matchAll(/import\(\s*'(\.[^']+)'\s*\)/g)) {
    const target = match[1];
    if (target !== undefined)
      found.push({ from: file, to: relative(ROOT, resolve(ROOT, dirname(file), target)), typeOnly: false });
  }
  return found;
}

/** Whether an import is allowed by the house: arrows point one way. */
function allowed({ from, to, typeOnly }: Import): boolean {
  const inside = (room: string) => to.startsWith(`${room}/`);
  if (from.startsWith('core/')) return inside('core');
  if (from.startsWith('drivers/'))
    return inside('drivers') || inside('core/weighing') || inside('core/quantity');
  if (from.startsWith('electron/'))
    return (
      inside('electron') ||
      inside('drivers') ||
      inside('core') ||
      ['package.json', 'fixtures/demo-workshop.json', 'fixtures/references/allergens.json'].includes(to)
    );
  if (from.startsWith('renderer/'))
    return inside('renderer') || (to === 'electron/host/table.ts' && typeOnly);
  return false;
}

const files = ROOMS.flatMap(sources);
const imports = files.flatMap(importsOf);

describe('the house', () => {
  it('has sources in every room', () => {
    for (const room of ROOMS) expect(sources(room).length, room).toBeGreaterThan(0);
  });

  it('imports one way only', () => {
    expect(imports.filter((one) => !allowed(one)).map((one) => `${one.from} -> ${one.to}`)).toEqual([]);
  });

  it('has no import cycle', () => {
    const graph = new Map<string, string[]>();
    for (const one of imports)
      if (!one.typeOnly) graph.set(one.from, [...(graph.get(one.from) ?? []), one.to]);
    const done = new Set<string>();
    const cycles: string[] = [];
    const walk = (file: string, path: readonly string[]): void => {
      if (path.includes(file)) {
        cycles.push([...path.slice(path.indexOf(file)), file].join(' -> '));
        return;
      }
      if (done.has(file)) return;
      for (const next of graph.get(file) ?? []) walk(next, [...path, file]);
      done.add(file);
    };
    for (const file of graph.keys()) walk(file, []);
    expect(cycles).toEqual([]);
  });

  it('keeps every file under 400 lines', () => {
    const sheets = readdirSync(join(ROOT, 'renderer/look')).map((name) => join('renderer/look', name));
    const long = [...files, ...sources('tests'), ...sheets].filter(
      (file) => readFileSync(join(ROOT, file), 'utf8').split('\n').length > 400,
    );
    expect(long).toEqual([]);
  });

  it('keeps core pure: no clock, no random, no I/O', () => {
    const impure = sources('core').filter((file) =>
      /from 'node:|Date\.now\(|new Date\(\)|Math\.random\(|process\.|setTimeout\(/.test(
        readFileSync(join(ROOT, file), 'utf8'),
      ),
    );
    expect(impure).toEqual([]);
  });

  it('has no barrel file', () => {
    expect(files.filter((file) => /(^|\/)index\.tsx?$/.test(file))).toEqual([]);
  });
});
