import { spawn } from 'node:child_process';
import { describe, it } from 'vitest';
import { tryPort } from '../../drivers/link/serial.ts';
import { consoleRun, ROOT } from './console-run.ts';
import { served } from './pan.ts';

const bytes = (text: string): Buffer => Buffer.from(text, 'latin1');

describe.concurrent('listen', { timeout: 60_000 }, () => {
  it('writes one object a reading, moving and at rest, and ends at the count', async ({
    expect,
    onTestFinished,
  }) => {
    const { instrument, port } = await served(onTestFinished);
    const args = ['listen', '--port', port.path, '--shape', 'comma-headed', '--count', '60'];
    const run = consoleRun(onTestFinished, args, () => {
      if (!instrument.controls.truth().onPan) instrument.controls.putVessel(12.34);
    });
    expect(await run.ended, run.words()).toBe(0);
    expect(run.lines).toHaveLength(60);
    expect(run.lines).toContainEqual({
      g: '12.34',
      digits: 2,
      unit: 'g',
      stable: true,
      over: false,
      raw: 'ST,+00012.34  g',
    });
    expect(run.lines.some((line) => line.stable === false && String(line.raw).startsWith('US,'))).toBe(true);
  });

  it.for(['9600 8N1', '2400 7E1'])('recognises the shape at %s', async (line, { expect, onTestFinished }) => {
    const { port } = await served(onTestFinished, { shape: 'two-headed' }, line);
    const run = consoleRun(onTestFinished, ['listen', '--port', port.path, '--line', line, '--count', '2']);
    expect(await run.ended, run.words()).toBe(0);
    expect(run.lines).toMatchObject([{ g: '0.00', unit: 'g' }, { g: '0.00' }]);
  });

  it('says overload without a figure', async ({ expect, onTestFinished }) => {
    const { instrument, port } = await served(onTestFinished);
    instrument.controls.putVessel(300);
    const run = consoleRun(onTestFinished, [
      'listen',
      '--port',
      port.path,
      '--shape',
      'comma-headed',
      '--count',
      '20',
    ]);
    expect(await run.ended, run.words()).toBe(0);
    expect(run.lines.at(-1)).toMatchObject({ g: null, over: true, raw: 'OL,+9999999E+19' });
  });

  it('refuses garbage, an unknown unit and a count of pieces, each with the raw line and why', async ({
    expect,
    onTestFinished,
  }) => {
    const { port } = await served(onTestFinished, { streams: false });
    const args = ['listen', '--port', port.path, '--shape', 'comma-headed', '--count', '1'];
    const run = consoleRun(onTestFinished, args);
    const lines = ['ERR 55', 'ST,+00012.34 zz', 'QT,+00000012 PC', `${'9'.repeat(200)}`, '\x80\xff\x00'];
    const timer = setInterval(() => port.write(bytes(`\r\n${lines.join('\r\n')}\r\n`)), 100);
    onTestFinished(() => clearInterval(timer));
    await expect.poll(() => run.lines.length, { timeout: 25_000 }).toBeGreaterThan(10);
    clearInterval(timer);
    await new Promise((resolve) => setTimeout(resolve, 200));
    port.write(bytes('ST,+00012.34  g\r\n'));
    expect(await run.ended, run.words()).toBe(0);
    expect(run.lines.at(-1)).toMatchObject({ g: '12.34' });
    const why = (raw: string) => run.lines.find((line) => line.refused === raw)?.why;
    expect(why('ERR 55')).toMatch(/shape/);
    expect(why('ST,+00012.34 zz')).toMatch(/unknown unit/);
    expect(why('QT,+00000012 PC')).toMatch(/not a weight/);
    expect(why('\x80\xff\x00')).toMatch(/shape/);
    expect(run.lines.some((line) => /longer than/.test(String(line.why)))).toBe(true);
    expect(run.lines.filter((line) => 'g' in line)).toHaveLength(1);
  });

  it('ends after its seconds: 0 with readings, 1 without any', async ({ expect, onTestFinished }) => {
    const { port } = await served(onTestFinished);
    const silent = await served(onTestFinished, { streams: false });
    const args = (path: string) => ['listen', '--port', path, '--shape', 'comma-headed', '--seconds', '2.5'];
    const heard = consoleRun(onTestFinished, args(port.path));
    const unheard = consoleRun(onTestFinished, args(silent.port.path));
    expect(await heard.ended, heard.words()).toBe(0);
    expect(await unheard.ended).toBe(1);
    expect(unheard.lines).toEqual([]);
    expect(unheard.words()).toContain('the balance sends nothing');
    expect(unheard.words()).toContain('No reading came in 2.5 s.');
  });

  it.for(['SIGINT', 'SIGTERM'] as const)(
    'leaves the port free at %s',
    async (signal, { expect, onTestFinished }) => {
      const { port } = await served(onTestFinished);
      const run = consoleRun(onTestFinished, ['listen', '--port', port.path, '--shape', 'comma-headed']);
      await expect.poll(() => run.lines.length, { timeout: 25_000 }).toBeGreaterThan(3);
      await expect(tryPort(port.path, '9600 8N1')).rejects.toMatchObject({ kind: 'busy' });
      run.child.kill(signal);
      expect(await run.ended).toBe(0);
      await tryPort(port.path, '9600 8N1');
    },
  );

  it('ends quietly when nobody reads its output any more', async ({ expect, onTestFinished }) => {
    const { port } = await served(onTestFinished);
    const pipe = `"${process.execPath}" electron/console/main.ts listen --port ${port.path} --shape comma-headed; echo "code $?" >&2`;
    const child = spawn('sh', ['-c', `{ ${pipe} ; } | head -n 2`], { cwd: ROOT });
    let out = '';
    let words = '';
    child.stdout.on('data', (text: Buffer) => {
      out += text.toString();
    });
    child.stderr.on('data', (text: Buffer) => {
      words += text.toString();
    });
    await new Promise((resolve) => child.on('close', resolve));
    expect(out.trim().split('\n')).toHaveLength(2);
    expect(words).toBe('code 0\n');
  });
});

describe.concurrent('wrong use', { timeout: 60_000 }, () => {
  const listen = ['listen', '--port', '/dev/no-such-port'];
  it.for<[string, string[], RegExp, RegExp, RegExp]>([
    ['an unknown port', listen, /There is no port/, /\/dev\/no-such-port/, /Choose one of|No serial port/],
    [
      'an unknown shape',
      [...listen, '--shape', 'G1'],
      /no line shape "G1"/,
      /G1/,
      /comma-headed, two-headed/,
    ],
    ['bad line settings', [...listen, '--line', '9600 9N1'], /data bits 9/, /9600 9N1/, /for example/],
    ['a count of nothing', [...listen, '--count', '0'], /whole number above 0/, /command line/, /--help/],
    ['an unknown option', [...listen, '--frob'], /unknown option '--frob'/, /command line/, /--help/],
    ['no port', ['listen'], /required option '--port <path>'/, /command line/, /--help/],
    ['an unknown command', ['sing'], /unknown command 'sing'/, /command line/, /--help/],
    ['no command', [], /No command/, /console/, /--help/],
    [
      'an unknown choice',
      ['pour', '--on-overpour', 'worst'],
      /Allowed choices are least, exact, keep/,
      /command line/,
      /--help/,
    ],
    [
      'neither formula nor resume',
      ['pour', '--port', 'simulated', '--out', '/dev/null/x'],
      /Neither --formula nor --resume/,
      /pour/,
      /formula file/,
    ],
    [
      'a folder that cannot be',
      ['pour', '--port', 'simulated', '--resume', '--out', '/dev/null/x'],
      /data folder/,
      /\/dev\/null\/x/,
      /folder/,
    ],
    ['no record', ['verify', 'package.json'], /no record file/, /package\.json/, /as-made\.json/],
    ['no such record', ['verify', 'nowhere.json'], /no such file/, /nowhere\.json/, /Check the name/],
  ])(
    '%s is said with what, where and next, and ends with 2',
    async ([, args, what, where, next], { expect, onTestFinished }) => {
      const run = consoleRun(onTestFinished, args);
      expect(await run.ended).toBe(2);
      expect(run.lines).toEqual([]);
      const [first, second, third, ...more] = run.words().trimEnd().split('\n');
      expect(more).toEqual([]);
      expect(first).toMatch(/^what: /);
      expect(first).toMatch(what);
      expect(second).toMatch(/^where: /);
      expect(second).toMatch(where);
      expect(third).toMatch(/^next: /);
      expect(third).toMatch(next);
    },
  );

  it.for(['listen', 'pour'])('a busy port is said by %s', async (command, { expect, onTestFinished }) => {
    const { port } = await served(onTestFinished);
    const first = consoleRun(onTestFinished, ['listen', '--port', port.path, '--shape', 'comma-headed']);
    await expect.poll(() => first.lines.length, { timeout: 25_000 }).toBeGreaterThan(0);
    const pour = ['--resume', '--out', '/dev/null/x'];
    const run = consoleRun(onTestFinished, [
      command,
      '--port',
      port.path,
      ...(command === 'pour' ? pour : []),
    ]);
    expect(await run.ended).toBe(2);
    expect(run.words()).toMatch(
      /^what: The port .* is in use by another program\.\nwhere: .*\nnext: Close the other/,
    );
  });
});
