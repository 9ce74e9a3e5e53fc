import type Database from 'better-sqlite3';
import type { Attempt, Class, Learner } from '../../../core/practice/learner.ts';
import { onDisk } from './trouble.ts';

/** An attempt with its number in the order of attempts. */
export interface KeptAttempt extends Attempt {
  readonly n: number;
}

/** Learners, classes, exercises and attempts. Attempts are append-only. */
export interface Learning {
  learners(): Learner[];
  putLearner(learner: Learner): void;
  classes(): Class[];
  putClass(one: Class): void;
  removeClass(id: string): void;
  /** Files of exercises by their id, as their JSON text. */
  exercises(): { readonly id: string; readonly body: string }[];
  putExercise(id: string, body: string): void;
  removeExercise(id: string): void;
  /** @returns the number it has from now on */
  addAttempt(attempt: Attempt): number;
  attempt(n: number): KeptAttempt | null;
  /** Every attempt of a learner, the oldest first. */
  attemptsOf(learner: string): KeptAttempt[];
}

interface AttemptRow {
  readonly n: number;
  readonly body: string;
}

const kept = ({ n, body }: AttemptRow): KeptAttempt => ({ n, ...(JSON.parse(body) as Attempt) });

/** Learning on an open database. */
export function openLearning(db: Database.Database): Learning {
  const bodies = (table: 'learner' | 'class' | 'exercise') =>
    db.prepare<[], { id: string; body: string }>(`SELECT id, body FROM ${table} ORDER BY id`);
  const put = (table: 'learner' | 'class' | 'exercise') =>
    db.prepare(
      `INSERT INTO ${table} (id, body) VALUES (?, ?) ON CONFLICT (id) DO UPDATE SET body = excluded.body`,
    );
  const [learners, classes, exercises] = [bodies('learner'), bodies('class'), bodies('exercise')];
  const [putLearner, putClass, putExercise] = [put('learner'), put('class'), put('exercise')];
  const removeClass = db.prepare('DELETE FROM class WHERE id = ?');
  const removeExercise = db.prepare('DELETE FROM exercise WHERE id = ?');
  const addAttempt = db.prepare(
    'INSERT INTO attempt (learner, lesson, at, batch, body) VALUES (?, ?, ?, ?, ?)',
  );
  const attempt = db.prepare<[number], AttemptRow>('SELECT n, body FROM attempt WHERE n = ?');
  const attemptsOf = db.prepare<[string], AttemptRow>(
    'SELECT n, body FROM attempt WHERE learner = ? ORDER BY n',
  );
  const written = (act: () => unknown): void => void onDisk(db.name, act);
  const parsed = <T>(rows: readonly { body: string }[]): T[] => rows.map(({ body }) => JSON.parse(body) as T);
  return {
    learners: () => parsed<Learner>(learners.all()),
    putLearner: (one) => written(() => putLearner.run(one.id, JSON.stringify(one))),
    classes: () => parsed<Class>(classes.all()),
    putClass: (one) => written(() => putClass.run(one.id, JSON.stringify(one))),
    removeClass: (id) => written(() => removeClass.run(id)),
    exercises: () => exercises.all(),
    putExercise: (id, body) => written(() => putExercise.run(id, body)),
    removeExercise: (id) => written(() => removeExercise.run(id)),
    addAttempt: (one) =>
      onDisk(db.name, () =>
        Number(
          addAttempt.run(one.learner, one.lesson, one.ended, one.batches.at(-1) ?? null, JSON.stringify(one))
            .lastInsertRowid,
        ),
      ),
    attempt: (n) => {
      const row = attempt.get(n);
      return row === undefined ? null : kept(row);
    },
    attemptsOf: (learner) => attemptsOf.all(learner).map(kept),
  };
}
