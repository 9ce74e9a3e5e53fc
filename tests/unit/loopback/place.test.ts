import { describe, expect, it } from 'vitest';
import { dataFolder } from '../../../electron/host/place.ts';

describe('the data folder', () => {
  it('follows the XDG Base Directory Specification on Linux', () => {
    expect(dataFolder({ XDG_DATA_HOME: '/srv/data' }, 'linux', '/home/a')).toBe('/srv/data/pourwright');
    expect(dataFolder({}, 'linux', '/home/a')).toBe('/home/a/.local/share/pourwright');
    expect(dataFolder({ XDG_DATA_HOME: 'not/absolute' }, 'linux', '/home/a')).toBe(
      '/home/a/.local/share/pourwright',
    );
    expect(dataFolder({ XDG_DATA_HOME: '' }, 'freebsd', '/home/a')).toBe('/home/a/.local/share/pourwright');
  });

  it('is the platform’s own on macOS and Windows', () => {
    expect(dataFolder({ XDG_DATA_HOME: '/srv' }, 'darwin', '/Users/a')).toBe(
      '/Users/a/Library/Application Support/Pourwright',
    );
    expect(dataFolder({ APPDATA: 'D:\\Roaming' }, 'win32', 'C:\\Users\\a')).toBe('D:\\Roaming\\Pourwright');
    expect(dataFolder({}, 'win32', 'C:\\Users\\a')).toBe('C:\\Users\\a\\AppData\\Roaming\\Pourwright');
  });
});
