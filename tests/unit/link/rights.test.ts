import { describe, expect, it } from 'vitest';
import { explainRights } from '../../../drivers/link/rights.ts';
import { openingTrouble } from '../../../drivers/link/trouble.ts';

const source = (gid: number) => ({
  gidOf: () => gid,
  groups: () => 'root:x:0:\ndialout:x:20:someone\n',
  user: () => 'rosa',
});

describe('missing rights', () => {
  it('names the group of the device and how to join it', () => {
    const { message, next } = explainRights('/dev/ttyUSB0', source(20));
    expect(message).toContain('"dialout"');
    expect(next).toBe('Run "sudo usermod -aG dialout rosa", then log out and in again.');
  });

  it('says when there is no group to join', () => {
    expect(explainRights('/dev/ttyUSB0', source(0)).message).toContain('root alone');
    expect(explainRights('/dev/ttyUSB0', source(4711)).message).toContain('#4711');
  });

  it('falls back to showing how to look', () => {
    const unreadable = {
      ...source(20),
      gidOf: () => {
        throw new Error('gone');
      },
    };
    expect(explainRights('/dev/ttyUSB0', unreadable).next).toContain('ls -l /dev/ttyUSB0');
  });
});

describe('why a port does not open', () => {
  const found = async () => [{ path: '/dev/ttyUSB7', label: 'ttyUSB7', detail: '' }];
  it.each([
    ['Error: No such file or directory, cannot open /dev/nope', 'unknown-port'],
    ['Opening COM9: File not found', 'unknown-port'],
    ['Error: Permission denied, cannot open /dev/ttyS0', 'no-rights'],
    ['Error Resource temporarily unavailable Cannot lock port', 'busy'],
    ['Error: Device or resource busy, cannot open /dev/ttyUSB0', 'busy'],
    ['Error: Input/output error', 'lost'],
  ] as const)('"%s" is %s', async (text, kind) => {
    const trouble = await openingTrouble('/dev/nope', new Error(text), found);
    expect(trouble.kind).toBe(kind);
    expect(trouble.next).not.toBe('');
  });

  it('lists the ports there are', async () => {
    const gone = new Error('No such file or directory');
    expect((await openingTrouble('/dev/nope', gone, found)).next).toContain('/dev/ttyUSB7');
    expect((await openingTrouble('/dev/nope', gone, async () => [])).next).toContain('No serial port');
  });
});
