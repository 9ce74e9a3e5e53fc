import type { JSX } from 'preact';
import { Leaves } from '../parts/leaves.tsx';
import { AllBenches } from '../practice/benches.tsx';
import { Course, LessonLeaf } from '../practice/course.tsx';
import { Exercises } from '../practice/exercises.tsx';
import { AttemptLeaf, ReviewLeaf } from '../practice/feedback.tsx';
import { Learners } from '../practice/learners.tsx';
import { Rules } from '../practice/rules.tsx';
import { UnderWay } from '../practice/under-way.tsx';
import { leaf, practiceHref } from '../state/practice.ts';

const ROW = [
  { name: '', says: 'Course' },
  { name: 'learners', says: 'Learners' },
  { name: 'benches', says: 'Every bench' },
  { name: 'exercises', says: 'Exercises' },
  { name: 'rules', says: 'Rules' },
] as const;

/** What the address names, by the word before its colon; anything else is the course. */
const LEAF: Readonly<Record<string, (of: string) => JSX.Element>> = {
  lesson: (id) => <LessonLeaf key={id} of={id} />,
  attempt: (n) => <AttemptLeaf key={n} of={n} />,
  review: (batch) => <ReviewLeaf key={batch} of={batch} />,
  learners: () => <Learners />,
  benches: () => <AllBenches />,
  exercises: () => <Exercises />,
  rules: () => <Rules />,
};

/** Under which leaf of the row a page stands. */
const UNDER: Readonly<Record<string, string>> = { lesson: '', attempt: '' };

/** Practice: the course, a lesson and its bench, feedback, learners, and what a teacher needs. */
export function PracticeScreen() {
  const { name, of } = leaf.value;
  if (name === 'now') return <UnderWay />;
  return (
    <div class="screen practice">
      <header class="screen-head">
        <h1>Practice</h1>
      </header>
      <Leaves
        of="Practice"
        leaves={ROW.map((one) => ({
          href: practiceHref(one.name),
          says: one.says,
          here: one.name === (UNDER[name] ?? name),
        }))}
      />
      <div class="screen-body">{(LEAF[name] ?? (() => <Course />))(of)}</div>
    </div>
  );
}
