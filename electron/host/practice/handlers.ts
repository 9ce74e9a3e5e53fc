import { randomUUID } from 'node:crypto';
import { COURSE } from '../../../core/practice/course.ts';
import { lessonProgress, skillProgress } from '../../../core/practice/learner.ts';
import { RULES, weightOf } from '../../../core/practice/score.ts';
import type { Rooms } from '../rooms.ts';
import type { Input, Output } from '../table.ts';
import { HostTrouble } from '../trouble.ts';
import { attemptOf } from './attempts.ts';
import { feedbackOf, reviewOf } from './feedback.ts';
import { lessonPage, lessonView } from './lesson-view.ts';
import { allLessons, expectLesson } from './lessons.ts';
import { paperHandlers } from './papers.ts';
import { teacherHandlers } from './teacher.ts';

function courseView({ practising, balances, id }: Rooms): Output<'practice.course'> {
  const learner = practising.learnerAt(id);
  const attempts = learner === null ? [] : practising.learning.attemptsOf(learner.id);
  const { passMark } = practising;
  return {
    learner: learner === null ? null : { id: learner.id, name: learner.name },
    lessons: allLessons(practising.learning).map((lesson) => {
      const { attempts: n, best, last, passed } = lessonProgress(lesson.id, attempts, passMark);
      const own = !COURSE.includes(lesson);
      return {
        id: lesson.id,
        title: lesson.title,
        minutes: lesson.minutes,
        own,
        attempts: n,
        best,
        last,
        passed,
      };
    }),
    skills: skillProgress(attempts),
    attempts: attempts
      .map(({ n, lesson, title, ended, score }) => ({ n, lesson, title, ended, score }))
      .reverse(),
    passMark,
    underWay: practising.at(id).run?.lesson.id ?? null,
    broken: practising.brokenAt(id),
    balance:
      balances.chosen() === null
        ? null
        : balances.chosen()?.kind === 'simulated'
          ? null
          : 'the balance of this bench',
    folder: practising.store.folder,
  };
}

function rulesView({ practising }: Rooms): Output<'practice.rules'> {
  const { weights } = practising;
  return {
    rules: RULES.map((rule) => {
      const { id, skill, title, sentence, weight } = rule;
      return { id, skill, title, sentence, weight: weightOf(rule, weights), usual: weight };
    }),
    passMark: practising.passMark,
  };
}

const byName = <T extends { readonly name: string }>(all: readonly T[]): T[] =>
  [...all].sort((a, b) => a.name.localeCompare(b.name));

function learnerHandlers(rooms: Rooms) {
  const { practising, id: bench } = rooms;
  const named = (name: string, except?: string): void => {
    if (practising.learning.learners().some((one) => one.name === name && one.id !== except))
      throw new HostTrouble(`There is a learner "${name}" already.`, 'Practice', 'Add an initial or a year.');
  };
  return {
    'practice.learners': () => ({
      learners: byName(practising.learning.learners()).map(({ id, name }) => {
        const attempts = practising.learning.attemptsOf(id);
        const passed = COURSE.filter((one) => lessonProgress(one.id, attempts, practising.passMark).passed);
        const skills = skillProgress(attempts);
        return { id, name, passed: passed.length, of: COURSE.length, skills };
      }),
      classes: byName(practising.learning.classes()).map((one) => ({ ...one, learners: [...one.learners] })),
      chosen: practising.learnerAt(bench)?.id ?? null,
    }),
    'practice.learner-add': ({ name }: Input<'practice.learner-add'>) => {
      named(name);
      const id = randomUUID();
      practising.learning.putLearner({ id, name, added: new Date().toISOString() });
      return { id };
    },
    'practice.learner-rename': ({ id, name }: Input<'practice.learner-rename'>) => {
      const was = practising.learning.learners().find((one) => one.id === id);
      if (was === undefined)
        throw new HostTrouble('There is no such learner.', 'Practice', 'Choose one from the list.');
      named(name, id);
      practising.learning.putLearner({ ...was, name });
      return {};
    },
    'practice.learner-choose': ({ id }: Input<'practice.learner-choose'>) => {
      practising.chooseLearner(bench, id);
      return courseView(rooms);
    },
    'practice.class-save': ({ id = randomUUID(), name, learners }: Input<'practice.class-save'>) => {
      const known = practising.learning.learners();
      practising.learning.putClass({
        id,
        name,
        learners: learners.filter((one) => known.some((k) => k.id === one)),
      });
      return { id };
    },
    'practice.class-remove': ({ id }: Input<'practice.class-remove'>) => {
      practising.learning.removeClass(id);
      return {};
    },
  };
}

function lessonHandlers(rooms: Rooms) {
  const { practising, id } = rooms;
  const shown = () => lessonView(practising.expectRun(id), practising.at(id).pipette !== null);
  return {
    'practice.begin': async ({ lesson, on }: Input<'practice.begin'>) => {
      await practising.begin(rooms, expectLesson(practising.learning, lesson), on);
      return shown();
    },
    'practice.view': () => (practising.at(id).run === null ? null : shown()),
    'practice.do': ({ do: does, value }: Input<'practice.do'>) => {
      practising.expectRun(id).ask({ do: does, ...(value === undefined ? {} : { value }) });
      return shown();
    },
    'practice.pipette': () => {
      practising.expectRun(id).takePipette();
      return shown();
    },
    'practice.finish': async () => {
      const run = practising.expectRun(id);
      run.end();
      const attempt = attemptOf(run, practising.weights);
      const n = practising.keep(id, attempt);
      await practising.leave(rooms);
      return feedbackOf({ ...attempt, n }, run.learner.name);
    },
    'practice.leave': async () => {
      await practising.leave(rooms);
      return {};
    },
  };
}

/** Answers the calls about lessons, learners and scores. */
export function practiceHandlers(rooms: Rooms) {
  const { practising, store } = rooms;
  return {
    'practice.course': () => courseView(rooms),
    'practice.lesson': ({ lesson }: Input<'practice.lesson'>) =>
      lessonPage(expectLesson(practising.learning, lesson), !COURSE.some((one) => one.id === lesson)),
    ...learnerHandlers(rooms),
    ...lessonHandlers(rooms),
    'practice.attempt': ({ n }: Input<'practice.attempt'>) => {
      const attempt = practising.learning.attempt(n);
      if (attempt === null)
        throw new HostTrouble('There is no such attempt.', 'Practice', 'Choose one from the list.');
      const who = practising.learning.learners().find((one) => one.id === attempt.learner)?.name ?? '';
      return feedbackOf(attempt, who);
    },
    'practice.review': ({ batch }: Input<'practice.review'>) => reviewOf(store, batch, practising.weights),
    'practice.rules': () => rulesView(rooms),
    'practice.weigh': ({ rule, weight }: Input<'practice.weigh'>) => {
      practising.weigh(rule, weight);
      return rulesView(rooms);
    },
    'practice.pass-mark': ({ score }: Input<'practice.pass-mark'>) => {
      practising.passMark = score;
      return rulesView(rooms);
    },
    ...teacherHandlers(rooms),
    ...paperHandlers(rooms),
  };
}
