import { describe, expect, it } from 'vitest';
import type { ActionView, ChoiceView } from '../../../electron/host/table.ts';
import { keyName, meantBy } from '../../../renderer/state/doing.ts';

const action = (what: ActionView['do'], key: string, enabled = true): ActionView => ({
  do: what,
  label: what,
  key,
  primary: key === 'Space',
  reason: false,
  enabled,
});

const choice = (kind: ChoiceView['kind'], key: string, possible = true): ChoiceView => ({
  kind,
  title: kind,
  headline: '',
  points: [],
  key,
  possible,
  why: null,
});

describe('keys of Pour', () => {
  it('takes space, enter and page down for the same stroke', () => {
    expect([' ', 'Enter', 'PageDown'].map(keyName)).toEqual(['Space', 'Space', 'Space']);
    expect(['v', 'V', '1', 'PageUp'].map(keyName)).toEqual(['V', 'V', '1', 'PageUp']);
  });

  it('finds the action or the choice that a key means', () => {
    const actions = [action('settle', 'Space'), action('pause', 'PageUp'), action('void', 'V')];
    const choices = [choice('least', '1'), choice('exact', '2')];
    expect(meantBy('Enter', actions, choices)).toMatchObject({ do: 'settle' });
    expect(meantBy('PageUp', actions, choices)).toMatchObject({ do: 'pause' });
    expect(meantBy('v', actions, choices)).toMatchObject({ do: 'void' });
    expect(meantBy('2', actions, choices)).toMatchObject({ kind: 'exact' });
    expect(meantBy('x', actions, choices)).toBeNull();
  });

  it('does nothing for an action that cannot be done now or a choice that is not possible', () => {
    expect(meantBy(' ', [action('close', 'Space', false)], [])).toBeNull();
    expect(meantBy('1', [], [choice('least', '1', false)])).toBeNull();
  });
});
