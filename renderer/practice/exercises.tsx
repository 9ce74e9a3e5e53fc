import { useEffect } from 'preact/hooks';
import { FileField } from '../exchange/file-field.tsx';
import { download } from '../parts/download.ts';
import { Form, LongText, Pick, TextField, Tick } from '../parts/form.tsx';
import { InPlace } from '../parts/in-place.tsx';
import { Press } from '../parts/press.tsx';
import { scrolls } from '../parts/scrolls.ts';
import { course, fetchCourse, practiceHref } from '../state/practice.ts';
import {
  exercise,
  exerciseSaid,
  exerciseTrouble,
  makeExercise,
  removeExercise,
  saveExercise,
  takeExercise,
  writeExercise,
} from '../state/teaching.ts';
import { fetchFormulas, formulas } from '../state/workshop.ts';

const troubleOf = (of: 'make' | 'take') => {
  const told = exerciseTrouble.value;
  return told?.of === of ? told.trouble : null;
};

function Own() {
  const own = course.value?.lessons.filter((one) => one.own) ?? [];
  if (own.length === 0) return null;
  return (
    <table>
      <caption>Exercises of this workshop</caption>
      <tbody>
        {own.map(({ id, title, minutes }) => (
          <tr key={id}>
            <th scope="row">
              <a href={practiceHref('lesson', id)}>{title}</a>
            </th>
            <td class="soft">{minutes} min</td>
            <td>
              <div class="row">
                <Press slim onPress={() => void saveExercise(id, download)}>
                  Save as a file
                  <span class="unseen">: {title}</span>
                </Press>
                <Press slim onPress={() => void removeExercise(id)}>
                  Take away
                  <span class="unseen">: {title}</span>
                </Press>
              </div>
            </td>
          </tr>
        ))}
      </tbody>
    </table>
  );
}

function Disturbances() {
  const now = exercise.value;
  return (
    <>
      <Pick
        label="Air about the simulated balance"
        value={now.room ?? 'quiet'}
        options={[
          { value: 'quiet', says: 'quiet' },
          { value: 'normal', says: 'as usual' },
          { value: 'draughty', says: 'draughty' },
        ]}
        onPick={(room) => writeExercise({ room })}
      />
      <Pick
        label="Drops too many, on purpose"
        value={String(now.slip)}
        hint="onto the first line, on the simulated balance"
        options={['0', '2', '3', '5', '8'].map((value) => ({
          value,
          says: value === '0' ? 'none' : value,
        }))}
        onPick={(value) => writeExercise({ slip: Number(value) })}
      />
      <Pick
        label="Cautions"
        value={now.cautions}
        options={[
          { value: 'shown', says: 'shown' },
          { value: 'required', says: 'to be heeded before each bottle' },
        ]}
        onPick={(cautions) => writeExercise({ cautions })}
      />
    </>
  );
}

function Make() {
  const now = exercise.value;
  const all = formulas.value ?? [];
  return (
    <Form name="Make an exercise" onSubmit={() => void makeExercise()}>
      <h2 class="caption">Make an exercise</h2>
      <TextField
        label="Title"
        value={now.title}
        maxLength={80}
        onInput={(title) => writeExercise({ title })}
      />
      <Pick
        label="Formula"
        value={now.formula}
        options={[
          { value: '', says: 'choose one' },
          ...all.map((one) => ({ value: one.id, says: one.name })),
        ]}
        onPick={(formula) => writeExercise({ formula })}
      />
      <TextField
        label="Batch, g"
        figure
        value={now.batch}
        maxLength={12}
        onInput={(batch) => writeExercise({ batch })}
      />
      <TextField
        label="Tolerance"
        figure
        value={now.tolerance}
        hint="as a fraction: 0.02 is 2 %"
        maxLength={12}
        onInput={(tolerance) => writeExercise({ tolerance })}
      />
      <TextField
        label="Minutes"
        figure
        value={Number.isNaN(now.minutes) ? '' : String(now.minutes)}
        maxLength={2}
        onInput={(text) => writeExercise({ minutes: Number.parseInt(text, 10) })}
      />
      <Disturbances />
      <LongText
        label="What it is for"
        wide
        value={now.what}
        maxLength={600}
        onInput={(what) => writeExercise({ what })}
      />
      <Tick
        label="With a clock: done calmly in these minutes"
        on={now.timed}
        onTick={(timed) => writeExercise({ timed })}
      />
      <div class="told">
        <InPlace id="told-make" trouble={troubleOf('make')} />
      </div>
      <div class="row">
        <button type="submit" class="press primary">
          Make it
        </button>
      </div>
    </Form>
  );
}

/** Exercises that a teacher makes, saves as files to share, and takes in. */
export function Exercises() {
  useEffect(() => {
    void fetchCourse();
    void fetchFormulas();
  }, []);
  return (
    <section class="paper" aria-label="Exercises" {...scrolls}>
      <Own />
      <p role="status" class="soft exercise-said">
        {exerciseSaid}
      </p>
      <Make />
      <div class="form">
        <h2 class="caption">Take in a file</h2>
        <div class="wide">
          <FileField
            label="Exercise saved as a file"
            accept=".json,application/json"
            onFile={(file) => void file.text().then(takeExercise)}
          />
        </div>
        <InPlace id="told-take" trouble={troubleOf('take')} />
      </div>
    </section>
  );
}
