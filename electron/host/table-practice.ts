import { z } from 'zod';
import { DocumentFile } from './table-documents.ts';

/** What a window may ask about lessons, learners and scores. Nothing here reads or writes the workshop's own records. */

const Nothing = z.object({});
const call = <I extends z.ZodType, O extends z.ZodType>(input: I, output: O) => ({ input, output });
const Id = z.string().min(1).max(80);
const Name = z.string().trim().min(1, 'Type a name.').max(80);
const Score = z.number().int().min(0).max(100);

/** How one learner stands with one lesson. */
export const LessonRow = z.object({
  id: z.string(),
  title: z.string(),
  minutes: z.number(),
  /** Made by a teacher, not of the course. */
  own: z.boolean(),
  attempts: z.number(),
  best: Score.nullable(),
  last: Score.nullable(),
  passed: z.boolean(),
});

export const SkillRow = z.object({ skill: z.string(), mark: Score.nullable(), findings: z.number() });

export const LearnerRow = z.object({
  id: z.string(),
  name: z.string(),
  passed: z.number(),
  of: z.number(),
  skills: z.array(SkillRow),
});
export const ClassRow = z.object({ id: z.string(), name: z.string(), learners: z.array(z.string()) });

export const AttemptRow = z.object({
  n: z.number(),
  lesson: z.string(),
  title: z.string(),
  ended: z.string(),
  score: Score.nullable(),
});

export const CourseView = z.object({
  /** Who is learning at this bench; null where nobody has been chosen. */
  learner: z.object({ id: z.string(), name: z.string() }).nullable(),
  lessons: z.array(LessonRow),
  skills: z.array(SkillRow),
  attempts: z.array(AttemptRow),
  passMark: Score,
  /** The lesson under way at this bench. */
  underWay: z.string().nullable(),
  /** The lesson that the end of the program broke off here, until another is begun: it is not scored. */
  broken: z.object({ lesson: z.string(), title: z.string(), who: z.string(), began: z.string() }).nullable(),
  /** The balance of this bench, in words, where lessons may be done on it; null where none is chosen. */
  balance: z.string().nullable(),
  folder: z.string(),
});

export const LessonPage = z.object({
  id: z.string(),
  title: z.string(),
  what: z.string(),
  why: z.string(),
  good: z.string(),
  cautions: z.array(z.string()),
  /** Titles of the rules that count most in it. */
  about: z.array(z.string()),
  minutes: z.number(),
  timed: z.boolean(),
  whole: z.boolean(),
  steps: z.array(z.string()),
  /** What is to be laid out. */
  needs: z.array(z.string()),
  own: z.boolean(),
});

/** A lesson under way, beside what the bench shows. */
export const LessonView = z.object({
  lesson: z.string(),
  title: z.string(),
  learner: z.string(),
  /** Moment it began, RFC 3339, and the minutes it is to be done in where it has a clock. */
  began: z.string(),
  clock: z.number().nullable(),
  whole: z.boolean(),
  simulated: z.boolean(),
  steps: z.array(
    z.object({
      id: z.string(),
      says: z.string(),
      state: z.enum(['done', 'now', 'next']),
      figure: z.string().nullable(),
    }),
  ),
  now: z
    .object({
      step: z.string(),
      /** What is pressed: "done" and "read" by a key, "answer" with a value. */
      does: z.enum(['done', 'read', 'answer']),
      label: z.string(),
      says: z.string(),
      /** Answers to choose from; empty where one is typed. */
      options: z.array(z.object({ value: z.string(), says: z.string() })),
      unit: z.string(),
      zero: z.boolean(),
      tare: z.boolean(),
    })
    .nullable(),
  /** What stands on the simulated pan, in words. */
  object: z.string(),
  liquid: z.boolean(),
  /** Bottles to choose from; empty where they are confirmed by eye. */
  shelf: z.array(z.object({ lot: z.string(), name: z.string() })),
  freshPipette: z.boolean().nullable(),
  done: z.boolean(),
});

export const FindingView = z.object({
  rule: z.string(),
  skill: z.string(),
  title: z.string(),
  sentence: z.string(),
  mark: Score,
  weight: z.number(),
  says: z.string(),
  /** Seconds since the beginning. */
  moments: z.array(z.object({ at: z.number(), says: z.string() })),
});

export const FeedbackView = z.object({
  /** The attempt's number; null for a batch of the workshop that is only looked at. */
  n: z.number().nullable(),
  lesson: z.string().nullable(),
  title: z.string(),
  who: z.string(),
  /** RFC 3339. */
  began: z.string(),
  balance: z.string(),
  minutes: z.number(),
  score: Score.nullable(),
  word: z.string(),
  next: z.string().nullable(),
  findings: z.array(FindingView),
  /** Seconds since the beginning, and gross in g. */
  trace: z.array(z.tuple([z.number(), z.number()])),
});

export const RuleRow = z.object({
  id: z.string(),
  skill: z.string(),
  title: z.string(),
  sentence: z.string(),
  weight: z.number(),
  usual: z.number(),
});

/** One bench of this machine as a teacher sees it. */
export const BenchLearning = z.object({
  bench: z.string(),
  /** Who learns there, also while no lesson is under way, and the classes of that one by their ids. */
  learner: z.string().nullable(),
  classes: z.array(z.string()),
  lesson: z.string().nullable(),
  step: z.string().nullable(),
  figure: z.string().nullable(),
  settled: z.boolean(),
  state: z.string(),
  since: z.string().nullable(),
});

export const ExerciseDraft = z.object({
  title: z.string().trim().min(1, 'Give the exercise a title.').max(80),
  what: z.string().trim().max(600),
  formula: z.string().min(1, 'Choose a formula.'),
  /** Half-width of a window as a fraction of its target. */
  tolerance: z.string(),
  /** Mass of the whole, g. */
  batch: z.string(),
  minutes: z.number().int().min(2, 'At least 2 minutes.').max(60, 'At most 60 minutes.'),
  timed: z.boolean(),
  room: z.enum(['quiet', 'normal', 'draughty']),
  cautions: z.enum(['shown', 'required']),
  /** So many drops too many on the first line; 0 for none. */
  slip: z.number().int().min(0).max(10, 'At most 10 drops.'),
});

export const PRACTICE_CALLS = {
  'practice.course': call(Nothing, CourseView),
  'practice.lesson': call(z.object({ lesson: Id }), LessonPage),
  'practice.learners': call(
    Nothing,
    z.object({ learners: z.array(LearnerRow), classes: z.array(ClassRow), chosen: z.string().nullable() }),
  ),
  'practice.learner-add': call(z.object({ name: Name }), z.object({ id: z.string() })),
  'practice.learner-rename': call(z.object({ id: Id, name: Name }), Nothing),
  /** Who is learning at this bench. */
  'practice.learner-choose': call(z.object({ id: Id }), CourseView),
  'practice.class-save': call(
    z.object({ id: Id.optional(), name: Name, learners: z.array(Id).max(200) }),
    z.object({ id: z.string() }),
  ),
  'practice.class-remove': call(z.object({ id: Id }), Nothing),
  /** Begins a lesson at this bench: on a simulated balance of its own, or on the bench's, which is given back after. */
  'practice.begin': call(z.object({ lesson: Id, on: z.enum(['simulated', 'bench']) }), LessonView),
  'practice.view': call(Nothing, LessonView.nullable()),
  'practice.do': call(
    z.object({ do: z.enum(['done', 'read', 'answer']), value: z.string().max(40).optional() }),
    LessonView,
  ),
  'practice.pipette': call(Nothing, LessonView),
  /** Ends a lesson that is at its end: it is scored and kept. */
  'practice.finish': call(Nothing, FeedbackView),
  /** Breaks a lesson off: it is not scored. */
  'practice.leave': call(Nothing, Nothing),
  'practice.attempt': call(z.object({ n: z.number().int() }), FeedbackView),
  /** A batch of the workshop looked at by the same rules; nothing is stored. */
  'practice.review': call(z.object({ batch: Id }), FeedbackView),
  'practice.rules': call(Nothing, z.object({ rules: z.array(RuleRow), passMark: Score })),
  'practice.weigh': call(
    z.object({ rule: Id, weight: z.number().min(0).max(5) }),
    z.object({ rules: z.array(RuleRow), passMark: Score }),
  ),
  'practice.pass-mark': call(
    z.object({ score: Score }),
    z.object({ rules: z.array(RuleRow), passMark: Score }),
  ),
  /** Every bench of this machine, as a teacher sees it. */
  'practice.benches': call(Nothing, z.array(BenchLearning)),
  'practice.exercise-save': call(ExerciseDraft, z.object({ id: z.string() })),
  'practice.exercise-remove': call(z.object({ id: Id }), Nothing),
  /** The exercise as a file to share, and such a file taken in. */
  'practice.exercise-file': call(z.object({ id: Id }), DocumentFile),
  'practice.exercise-take': call(
    z.object({ text: z.string().max(2_000_000, 'This file is too large for an exercise.') }),
    z.object({ id: z.string() }),
  ),
  /** Course sheet with every attempt, or the certificate once every lesson of the course is passed. */
  'practice.paper': call(z.object({ learner: Id, kind: z.enum(['sheet', 'certificate']) }), DocumentFile),
  /** Asks for a place with the desktop's own dialog and writes there; only with the capability saveDialog. */
  'practice.paper-save': call(
    z.object({ learner: Id, kind: z.enum(['sheet', 'certificate']) }),
    z.object({ path: z.string().nullable() }),
  ),
} as const;
