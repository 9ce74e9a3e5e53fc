import { COURSE } from '../../../core/practice/course.ts';
import { type Attempt, type Learner, lessonProgress, skillProgress } from '../../../core/practice/learner.ts';
import { INK, INNER, PAGE, Paper } from './paper.ts';

export interface CourseOrder {
  readonly kind: 'sheet' | 'certificate';
  readonly learner: Learner;
  /** The oldest first. */
  readonly attempts: readonly Attempt[];
  readonly passMark: number;
  /** RFC 3339. */
  readonly when: string;
}

const day = (iso: string): string => iso.slice(0, 10);
const scoreText = (score: number | null): string => (score === null ? '–' : String(score));

function head(paper: Paper, title: string, under: string): void {
  paper.y += 26;
  paper.put(title, PAGE.left, paper.y, { face: 'strong', size: 20 });
  paper.y += 8;
  paper.paragraph(under, { size: 10, colour: INK.soft, after: 6 });
  paper.rule(INK.text, 1.2);
}

function lessons(paper: Paper, { attempts, passMark }: CourseOrder): void {
  paper.heading('Lessons');
  paper.table(
    [
      { title: 'Lesson', wide: 46 },
      { title: 'Times', wide: 9, right: true },
      { title: 'Best', wide: 9, right: true },
      { title: 'Last', wide: 9, right: true },
      { title: 'Passed', wide: 16 },
    ],
    COURSE.map((lesson) => {
      const { attempts: times, best, last, passedAt } = lessonProgress(lesson.id, attempts, passMark);
      return [
        { text: lesson.title, face: 'strong' as const },
        { text: String(times) },
        { text: scoreText(best) },
        { text: scoreText(last) },
        passedAt === null
          ? { text: times === 0 ? 'not begun' : 'not yet', colour: INK.soft }
          : { text: day(passedAt), colour: INK.good },
      ];
    }),
    9,
  );
}

function skills(paper: Paper, { attempts }: CourseOrder): void {
  paper.heading('Skills');
  paper.table(
    [
      { title: 'Skill', wide: 40 },
      { title: 'Lately, of 100', wide: 20, right: true },
      { title: 'Judged', wide: 14, right: true },
    ],
    skillProgress(attempts).map(({ skill, mark, findings }) => [
      { text: skill, face: 'strong' as const },
      { text: scoreText(mark) },
      { text: String(findings) },
    ]),
    9,
  );
}

function everyAttempt(paper: Paper, { attempts }: CourseOrder): void {
  paper.heading('Every time it was done');
  if (attempts.length === 0) paper.paragraph('Nothing yet.');
  else
    paper.table(
      [
        { title: 'Day', wide: 14 },
        { title: 'Lesson', wide: 36 },
        { title: 'Score', wide: 8, right: true },
        { title: 'To try next', wide: 50 },
      ],
      attempts.map((one) => [
        { text: day(one.ended) },
        { text: one.title },
        { text: scoreText(one.score), face: 'strong' as const },
        { text: one.next?.says ?? 'nothing: all was kept' },
      ]),
    );
}

function signatures(paper: Paper): void {
  paper.y += 46;
  const wide = INNER / 3;
  for (const [i, word] of ['Place and day', 'Teacher', 'Learner'].entries()) {
    const x = PAGE.left + i * wide;
    paper.page
      .moveTo(x, paper.y)
      .lineTo(x + wide - 18, paper.y)
      .lineWidth(0.4)
      .stroke(INK.soft);
    paper.put(word, x, paper.y + 11, { size: 8, colour: INK.soft });
  }
  paper.y += 16;
}

/** Course sheet of a learner with every attempt, or the certificate of completion with its figures. */
export async function coursePdf(order: CourseOrder): Promise<Buffer> {
  const { kind, learner, passMark, when } = order;
  const certificate = kind === 'certificate';
  const title = certificate ? 'Certificate of completion' : 'Course sheet';
  const paper = new Paper({ title: `${learner.name}: ${title.toLowerCase()}`, when, keywords: learner.id });
  head(
    paper,
    title,
    certificate ? 'Weighing by grams: the course of Practice, every lesson passed.' : learner.name,
  );
  if (certificate) {
    paper.y += 46;
    paper.put(learner.name, PAGE.left, paper.y, { face: 'strong', size: 24 });
    paper.y += 18;
    paper.paragraph(
      `has done the ${COURSE.length} lessons of the course to their end, each with ${passMark} points of 100 or more.`,
      { size: 11, after: 4 },
    );
  }
  lessons(paper, order);
  skills(paper, order);
  if (!certificate) everyAttempt(paper, order);
  // What is said of the scores and the lines to sign stay on one page.
  paper.room(130);
  paper.y += 8;
  paper.paragraph(
    `A score is the mean of rules that are read in Practice, weighed as the teacher has set them; a lesson is passed from ${passMark}. It tells how it was weighed at a bench, on a simulated balance or with water. It is no licence, and says nothing about the handling of dangerous materials.`,
    { size: 8, colour: INK.soft },
  );
  signatures(paper);
  return paper.end((page, of) => [`${learner.name} · ${day(when)}`, `${page} of ${of}`]);
}
