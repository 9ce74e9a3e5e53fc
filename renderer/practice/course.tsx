import { useEffect } from 'preact/hooks';
import { momentText } from '../figures/moment.ts';
import { Press } from '../parts/press.tsx';
import { scrolls } from '../parts/scrolls.ts';
import { beginLesson } from '../state/lesson.ts';
import { type CourseView, course, fetchCourse, openLesson, page, practiceHref } from '../state/practice.ts';

type Row = CourseView['lessons'][number];

const standing = ({ attempts, passed, best }: Row): string =>
  attempts === 0 ? 'not begun' : passed ? `passed, best ${best}` : `best ${best ?? '–'}`;

function LessonRow({ row, n }: { row: Row; n: number | null }) {
  const mark = row.passed ? 'passed' : row.attempts > 0 ? 'begun' : 'new';
  return (
    <li class="lesson-row" data-mark={mark}>
      <span class="lesson-no" aria-hidden="true">
        {n ?? '·'}
      </span>
      <a href={practiceHref('lesson', row.id)}>{row.title}</a>
      <span class="soft">{row.minutes} min</span>
      <span class="lesson-standing">
        <span class="lesson-mark" aria-hidden="true" />
        {standing(row)}
      </span>
    </li>
  );
}

/** How each skill stands: a bar as long as its mark, with the figure. */
export function Skills({ skills }: { skills: CourseView['skills'] }) {
  return (
    <section class="skills" aria-labelledby="skills">
      <h2 id="skills" class="caption">
        Skills
      </h2>
      <dl>
        {skills.map(({ skill, mark }) => (
          <div key={skill}>
            <dt>{skill}</dt>
            <dd>
              <span class="skill-bar" aria-hidden="true">
                <span style={{ width: `${mark ?? 0}%` }} />
              </span>
              {mark === null ? <span class="soft">not yet</span> : <span>{mark}</span>}
            </dd>
          </div>
        ))}
      </dl>
    </section>
  );
}

function Lately({ attempts }: { attempts: CourseView['attempts'] }) {
  return (
    <section aria-labelledby="lately">
      <h2 id="lately" class="caption">
        Lately
      </h2>
      {attempts.length === 0 && <p class="soft">Nothing yet.</p>}
      <ul class="lately">
        {attempts.slice(0, 8).map(({ n, title, ended, score }) => (
          <li key={n}>
            <a href={practiceHref('attempt', String(n))}>{title}</a>
            <span class="soft">{momentText(ended)}</span>
            <b>{score ?? '–'}</b>
          </li>
        ))}
      </ul>
    </section>
  );
}

/** A lesson that ended with the program, told until another is begun. */
function Broken({ told }: { told: CourseView }) {
  const { broken, lessons } = told;
  if (broken === null) return null;
  return (
    <p class="asked">
      The program ended during “{broken.title}”, which {broken.who} began {momentText(broken.began)}. It is
      not scored, and nothing of it is left on the bench.{' '}
      {lessons.some((one) => one.id === broken.lesson) && (
        <a href={practiceHref('lesson', broken.lesson)}>Begin it again</a>
      )}
    </p>
  );
}

/** The course: its lessons in order with how each stands, skills, and what was done lately. */
export function Course() {
  useEffect(() => void fetchCourse(), []);
  const told = course.value;
  if (told === null) return null;
  const { learner, lessons, underWay } = told;
  const own = lessons.filter((one) => one.own);
  const passed = lessons.filter((one) => !one.own && one.passed).length;
  const of = lessons.length - own.length;
  return (
    <div class="course" {...scrolls}>
      <div class="course-main">
        <p class="who">
          {learner === null ? (
            <>
              Nobody is learning at this bench yet. <a href={practiceHref('learners')}>Say who it is</a>
            </>
          ) : (
            <>
              <b>{learner.name}</b> is learning at this bench: {passed} of {of} lessons passed.{' '}
              <a href={practiceHref('learners')}>Somebody else</a>
            </>
          )}
        </p>
        {underWay !== null && (
          <p class="asked">
            A lesson is under way at this bench. <a href={practiceHref('now')}>Go on with it</a>
          </p>
        )}
        <Broken told={told} />
        <ol class="lessons" aria-label="Lessons of the course">
          {lessons
            .filter((one) => !one.own)
            .map((row, i) => (
              <LessonRow key={row.id} row={row} n={i + 1} />
            ))}
        </ol>
        {own.length > 0 && (
          <>
            <h2 class="caption">Exercises of this workshop</h2>
            <ul class="lessons">
              {own.map((row) => (
                <LessonRow key={row.id} row={row} n={null} />
              ))}
            </ul>
          </>
        )}
      </div>
      <aside class="course-side">
        <Skills skills={told.skills} />
        <Lately attempts={told.attempts} />
        <p class="soft">
          Practice keeps everything in a store of its own, in {told.folder}: no record, no bottle and no stock
          of the workshop is touched by a lesson.
        </p>
      </aside>
    </div>
  );
}

function Begin({ id }: { id: string }) {
  const told = course.value;
  if (told === null) return null;
  if (told.learner === null)
    return (
      <p class="asked">
        Nobody is learning at this bench yet. <a href={practiceHref('learners')}>Say who it is</a>
      </p>
    );
  if (told.underWay !== null)
    return (
      <p class="asked">
        A lesson is under way at this bench. <a href={practiceHref('now')}>Go on with it</a>
      </p>
    );
  return (
    <div class="row">
      <Press primary onPress={() => void beginLesson(id, 'simulated')}>
        Begin on the simulated balance
      </Press>
      {told.balance !== null && (
        <Press onPress={() => void beginLesson(id, 'bench')}>Begin on {told.balance}</Press>
      )}
    </div>
  );
}

/** The page of a lesson before it begins: what, why, what good looks like, cautions, and its steps. */
export function LessonLeaf({ of }: { of: string }) {
  useEffect(() => {
    void fetchCourse();
    void openLesson(of);
  }, [of]);
  const shown = page.value;
  if (shown === null || shown.id !== of) return null;
  return (
    <section class="paper lesson-page" aria-labelledby="lesson-title" {...scrolls}>
      <header>
        <h2 id="lesson-title">{shown.title}</h2>
        <p class="soft">
          about {shown.minutes} minutes{shown.timed ? ', with a clock' : ''} ·{' '}
          {shown.whole ? 'a whole pour' : 'guided steps'}
        </p>
      </header>
      <dl class="lesson-words">
        <dt>What</dt>
        <dd>{shown.what}</dd>
        <dt>Why</dt>
        <dd>{shown.why}</dd>
        <dt>What good looks like</dt>
        <dd>{shown.good}</dd>
        {shown.cautions.length > 0 && (
          <>
            <dt>Cautions</dt>
            <dd>
              <ul>
                {shown.cautions.map((text) => (
                  <li key={text}>{text}</li>
                ))}
              </ul>
            </dd>
          </>
        )}
        {shown.about.length > 0 && (
          <>
            <dt>Counts most</dt>
            <dd>{shown.about.join(' · ')}</dd>
          </>
        )}
        <dt>On a real balance, lay out</dt>
        <dd>{shown.needs.join(' · ')}</dd>
      </dl>
      <Begin id={shown.id} />
      <details class="lesson-steps">
        <summary>{shown.whole ? 'What is poured' : 'The steps'}</summary>
        <ol>
          {shown.steps.map((text) => (
            <li key={text}>{text}</li>
          ))}
        </ol>
      </details>
    </section>
  );
}
