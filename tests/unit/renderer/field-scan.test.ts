import { describe, expect, it } from 'vitest';
import { type FieldStrokes, strikeField } from '../../../renderer/state/scan.ts';

/** Strokes into a field that holds `standing` before the first: what came of the last. */
function struck(keys: readonly string[], gap: number, standing = '') {
  let now: FieldStrokes | null = null;
  let code: string | null = null;
  for (const [i, key] of keys.entries())
    ({ now, code } = strikeField(now, { key, at: i * gap }, `${standing}${keys.slice(0, i).join('')}`));
  return { now, code };
}

describe('strokes into a field', () => {
  it('are a code when they come as a scanner sends them and end with enter', () => {
    expect(struck([...'LA-33', 'Enter'], 8)).toEqual({ now: null, code: 'LA-33' });
    expect(struck([...'LA-3'], 8, 'before').now?.before).toBe('before');
  });

  it('are writing when a hand types them, are too few, or a key comes between', () => {
    expect(struck([...'LA-33', 'Enter'], 40).code).toBeNull();
    expect(struck([...'ok', 'Enter'], 8).code).toBeNull();
    expect(struck([...'LA-33', 'Backspace', 'Enter'], 8).code).toBeNull();
  });

  it('begin anew after a pause', () => {
    let { now } = strikeField(null, { key: 'a', at: 0 }, '');
    ({ now } = strikeField(now, { key: 'b', at: 200 }, 'a'));
    expect(now).toEqual({ strokes: [{ key: 'b', at: 200 }], before: 'a' });
  });
});
