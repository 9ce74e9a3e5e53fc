import { useEffect } from 'preact/hooks';
import { Press } from '../parts/press.tsx';
import { BenchFace } from '../pour/bench.tsx';
import { Head } from '../pour/head.tsx';
import { useKeys } from '../pour/keys.ts';
import { press } from '../state/balance.ts';
import { bench, ended, hasPour, phase, simulated } from '../state/bench.ts';
import { confirmByCode } from '../state/bottle.ts';
import { benchId } from '../state/host.ts';
import {
  fetchLesson,
  finishLesson,
  followLesson,
  type Lesson,
  leaveLesson,
  lesson,
  takePipette,
  toOwnBench,
  toPracticeBench,
} from '../state/lesson.ts';
import { practiceHref } from '../state/practice.ts';
import { GuidedBench } from './guided.tsx';
import { LessonClock } from './lesson-clock.tsx';

/** Bottles that look alike: the hand takes one, and its lot tells whether it is the right one. */
function Shelf({ bottles }: { bottles: Lesson['shelf'] }) {
  if (bottles.length === 0) return null;
  const fetching = phase.value === 'bottle';
  return (
    <section class="practice-shelf" aria-labelledby="practice-shelf">
      <h2 id="practice-shelf">Shelf</h2>
      <ul>
        {bottles.map(({ lot, name }) => (
          <li key={lot}>
            <button
              type="button"
              class="press slim bottle-press"
              disabled={!fetching}
              onMouseDown={(event) => event.preventDefault()}
              onClick={() => void confirmByCode(lot)}
            >
              <span>{name}</span>
              <small>{lot}</small>
            </button>
          </li>
        ))}
      </ul>
    </section>
  );
}

/** What belongs to the lesson, above the ladder of the bench. */
function Beside({ now }: { now: Lesson }) {
  return (
    <section class="beside-lesson" aria-label="Lesson">
      <LessonClock now={now} />
      <div class="row">
        {now.freshPipette !== null && (
          <Press slim disabled={now.freshPipette} onPress={() => void takePipette()}>
            Fresh pipette
          </Press>
        )}
        <Press slim onPress={() => void leaveLesson()}>
          Break off
        </Press>
      </div>
      {simulated.value && (
        <div class="row">
          <Press slim onPress={() => void press('zero')}>
            Zero key
          </Press>
          <Press slim onPress={() => void press('tare')}>
            Tare key
          </Press>
        </div>
      )}
      <Shelf bottles={now.shelf} />
    </section>
  );
}

function WholePour({ now }: { now: Lesson }) {
  useKeys();
  const at = phase.value;
  useEffect(() => void followLesson(), [at]);
  useEffect(() => {
    if (ended.value) void finishLesson();
  }, [ended.value]);
  if (!hasPour.value) return null;
  return (
    <div class="pour practising">
      <Head lesson={`${now.title} · ${now.learner}`} />
      <BenchFace
        above={<Beside now={now} />}
        after={<p class="soft">The lesson is being scored.</p>}
        afterBar={
          <footer class="bar">
            <div class="bar-actions">
              <Press primary keyName="Space" onPress={() => void finishLesson()}>
                To the feedback
              </Press>
            </div>
          </footer>
        }
      />
    </div>
  );
}

/** The lesson under way: the window is at the practice bench as long as it is open. */
export function UnderWay() {
  const at = benchId.value;
  useEffect(() => {
    void toPracticeBench().then(fetchLesson);
  }, [at]);
  useEffect(() => () => void toOwnBench(), []);
  const now = lesson.value;
  if (now === null)
    return (
      <p class="nothing">
        No lesson is under way at this bench. <a href={practiceHref('')}>Choose one from the course</a>
      </p>
    );
  if (bench.value === null) return null;
  return now.whole ? <WholePour now={now} /> : <GuidedBench now={now} />;
}
