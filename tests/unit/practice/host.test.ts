import { existsSync, mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { type Host, openHost } from '../../../electron/host/host.ts';
import type { CallName, Input, Output, Trouble } from '../../../electron/host/table.ts';
import { workshopRows } from './rows.ts';

const PRACTICE = { bench: 'practice-1' };
const folder = mkdtempSync(join(tmpdir(), 'pourwright-practice-'));
let host: Host;

const opened = (): Promise<Host> =>
  openHost({
    data: folder,
    capabilities: { saveDialog: null, menu: false },
    demo: !existsSync(join(folder, 'pourwright.sqlite')),
  });

async function asked<K extends CallName>(name: K, input: Input<K>, at: object = {}): Promise<Output<K>> {
  const reply = await host.call(name, { ...(input as object), ...at });
  if (!reply.ok) throw new Error(`${name}: ${reply.trouble.what}`);
  return reply.value as Output<K>;
}

async function refused<K extends CallName>(name: K, input: Input<K>, at: object = {}): Promise<Trouble> {
  const reply = await host.call(name, { ...(input as object), ...at });
  if (reply.ok) throw new Error(`${name} was not refused`);
  return reply.trouble;
}

/** Waits until `holds`, at most ten seconds. */
async function until(holds: () => Promise<boolean>): Promise<void> {
  for (let tries = 0; tries < 200; tries += 1) {
    if (await holds()) return;
    await new Promise((resolve) => setTimeout(resolve, 50));
  }
  throw new Error('it did not come to that');
}

const shows = async (figure: string): Promise<boolean> => {
  const { live } = await asked('bench.view', {}, PRACTICE);
  return live.figure === figure && !live.moving;
};
const step = (does: 'done' | 'read', at: object = PRACTICE) => asked('practice.do', { do: does }, at);

beforeAll(async () => {
  host = await opened();
});
afterAll(async () => {
  await host.close();
  rmSync(folder, { recursive: true, force: true });
});

describe('a lesson through the host', () => {
  let before = '';

  it('needs somebody who learns', async () => {
    expect((await refused('practice.begin', { lesson: 'one-gram', on: 'simulated' })).what).toContain(
      'Nobody',
    );
    const { id } = await asked('practice.learner-add', { name: 'Ilse' });
    expect((await refused('practice.learner-add', { name: 'Ilse' })).what).toContain('already');
    expect((await asked('practice.learner-choose', { id })).learner?.name).toBe('Ilse');
  });

  it('is done, scored and kept, and nothing of the workshop is touched', async () => {
    await host.close();
    before = workshopRows(folder);
    host = await opened();
    await asked('practice.begin', { lesson: 'level-and-zero', on: 'simulated' });
    await step('done');
    await until(async () => (await asked('bench.view', {}, PRACTICE)).live.figure !== null);
    await asked('balance.press', { key: 'zero' }, PRACTICE);
    await until(() => shows('0.00'));
    await step('done');
    expect((await refused('practice.do', { do: 'done' }, PRACTICE)).what).toContain('Nothing stands');
    await asked('pipette.vessel', { on: true }, PRACTICE);
    await until(async () => Number((await asked('bench.view', {}, PRACTICE)).live.figure ?? '0') > 20);
    await step('done');
    expect((await refused('practice.finish', {}, PRACTICE)).what).toContain('not at its end');
    await until(async () => !(await asked('bench.view', {}, PRACTICE)).live.moving);
    await new Promise((resolve) => setTimeout(resolve, 1100));
    await step('read');
    await asked('pipette.vessel', { on: false }, PRACTICE);
    await until(async () => Number((await asked('bench.view', {}, PRACTICE)).live.figure ?? '9') < 1);
    await step('done');
    await until(async () => !(await asked('bench.view', {}, PRACTICE)).live.moving);
    await new Promise((resolve) => setTimeout(resolve, 1100));
    expect((await step('read')).done).toBe(true);
    const told = await asked('practice.finish', {}, PRACTICE);
    expect(told).toMatchObject({ title: 'Level and zero', who: 'Ilse', score: 100, next: null });
    expect(told.trace.length).toBeGreaterThan(5);
    expect(await asked('practice.view', {}, PRACTICE)).toBeNull();
  }, 40_000);

  it('a whole pour is written into the store of Practice alone', async () => {
    const begun = await asked('practice.begin', { lesson: 'one-gram', on: 'simulated' });
    expect(begun).toMatchObject({ whole: true, clock: null, freshPipette: true });
    const view = await asked('bench.view', {}, PRACTICE);
    expect(view.pour?.phase).toBe('vessel');
    expect((await asked('bench.view', {})).pour).toBeNull();
    expect((await refused('pour.start', { formula: 'vetiver-dilution-10' }, PRACTICE)).what).toContain(
      'workshop',
    );
    expect((await refused('practice.begin', { lesson: 'accord', on: 'simulated' })).what).toContain(
      'under way',
    );
    const [row] = await asked('practice.benches', {});
    expect(row).toMatchObject({ bench: '1', learner: 'Ilse', lesson: '1.00 g within a window' });
    await asked('practice.leave', {}, PRACTICE);
    expect((await asked('records.find', {})).rows).toEqual([]);
    expect((await asked('practice.course', {})).attempts).toHaveLength(1);
  });

  it('a restart keeps learner, attempts and feedback', async () => {
    await host.close();
    expect(workshopRows(folder)).toBe(before);
    host = await opened();
    const course = await asked('practice.course', {});
    expect(course.learner?.name).toBe('Ilse');
    const [attempt] = course.attempts;
    expect(attempt).toMatchObject({ lesson: 'level-and-zero', score: 100 });
    expect(course.lessons.find((one) => one.id === 'level-and-zero')).toMatchObject({
      passed: true,
      best: 100,
    });
    const told = await asked('practice.attempt', { n: attempt?.n ?? 0 });
    expect(told.findings.map((one) => one.rule)).toContain('zero');
    const { learners } = await asked('practice.learners', {});
    expect(learners[0]).toMatchObject({ name: 'Ilse', passed: 1 });
    expect(learners[0]?.skills).toContainEqual(expect.objectContaining({ skill: 'reading', mark: 100 }));
    const { id } = await asked('practice.class-save', { name: 'Evening', learners: [learners[0]?.id ?? ''] });
    const [row] = await asked('practice.benches', {});
    expect(row).toMatchObject({ learner: 'Ilse', classes: [id], lesson: null, state: 'no lesson' });
  });
});

describe('a name', () => {
  it('is put right, but not to one that is there', async () => {
    const { id } = await asked('practice.learner-add', { name: 'Jon' });
    await asked('practice.learner-rename', { id, name: 'Jonas' });
    expect((await refused('practice.learner-rename', { id, name: 'Ilse' })).what).toContain('already');
    const { learners } = await asked('practice.learners', {});
    expect(learners.map((one) => one.name)).toEqual(['Ilse', 'Jonas']);
  });
});

describe('papers', () => {
  it('the course sheet is a PDF; the certificate waits until every lesson is passed', async () => {
    const learner = (await asked('practice.course', {})).learner?.id ?? '';
    const sheet = await asked('practice.paper', { learner, kind: 'sheet' });
    expect(Buffer.from(sheet.base64, 'base64').subarray(0, 5).toString()).toBe('%PDF-');
    const trouble = await refused('practice.paper', { learner, kind: 'certificate' });
    expect(trouble.what).toContain('has still to pass');
    expect(trouble.what).not.toContain('"Level and zero"');
  });
});

describe('weights and the pass mark', () => {
  it('are kept, and a rule that is not there is refused', async () => {
    const { rules } = await asked('practice.weigh', { rule: 'zero', weight: 5 });
    expect(rules.find((one) => one.id === 'zero')).toMatchObject({ weight: 5, usual: 2 });
    expect((await refused('practice.weigh', { rule: 'luck', weight: 1 })).what).toContain('no rule');
    await asked('practice.pass-mark', { score: 100 });
    await host.close();
    host = await opened();
    expect(await asked('practice.rules', {})).toMatchObject({ passMark: 100 });
  });
});

describe("a teacher's exercise", () => {
  const draft = {
    title: 'Cold window, small',
    what: '',
    formula: 'cold-window-2',
    tolerance: '0.05',
    batch: '20',
    minutes: 9,
    timed: true,
    room: 'draughty',
    cautions: 'required',
    slip: 3,
  } as const;

  it('is made from a formula, saved as a file, and taken in again as the same', async () => {
    const { id } = await asked('practice.exercise-save', draft);
    const file = await asked('practice.exercise-file', { id });
    expect(file.name).toBe('cold-window-small.exercise.json');
    const text = Buffer.from(file.base64, 'base64').toString('utf8');
    expect(text).not.toMatch(/"(stock|price)"/);
    const taken = await asked('practice.exercise-take', { text });
    expect(await asked('practice.lesson', { lesson: taken.id })).toMatchObject({
      title: 'Cold window, small',
      minutes: 9,
      timed: true,
      own: true,
    });
    const again = await asked('practice.exercise-file', { id: taken.id });
    expect(again.base64).toBe(file.base64);
    await asked('practice.exercise-remove', { id });
    expect((await refused('practice.lesson', { lesson: id })).what).toContain('no lesson');
  });

  it('with a file that is no exercise is refused, and says what is wrong', async () => {
    const { id } = await asked('practice.exercise-save', draft);
    const file = await asked('practice.exercise-file', { id });
    const good = JSON.parse(Buffer.from(file.base64, 'base64').toString('utf8')) as Record<string, unknown>;
    const count = async () => (await asked('practice.course', {})).lessons.length;
    const lessons = await count();
    const take = (body: unknown) =>
      refused('practice.exercise-take', { text: typeof body === 'string' ? body : JSON.stringify(body) });
    expect((await take('{')).what).toContain('no JSON');
    expect((await take({ ...good, format: 'something else' })).what).toContain('"format"');
    expect((await take({ ...good, room: 'stormy' })).what).toContain('"room"');
    expect((await take({ ...good, extra: 1 })).what).toContain('no exercise');
    expect(
      (await take({ ...good, lots: [{ code: 'X', name: 'X', composition: { water: '1' } }] })).what,
    ).toContain('cannot be poured');
    expect(await count()).toBe(lessons);
  });

  it('with a figure that is none is refused in place', async () => {
    expect((await refused('practice.exercise-save', { ...draft, tolerance: 'two' })).where).toBe('tolerance');
    expect((await refused('practice.exercise-save', { ...draft, batch: '' })).where).toBe('batch');
    expect((await refused('practice.exercise-save', { ...draft, title: ' ' })).what).toContain('title');
  });
});
