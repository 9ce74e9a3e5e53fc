import { useEffect, useRef } from 'preact/hooks';
import { download } from '../parts/download.ts';
import { Form, TextField } from '../parts/form.tsx';
import { Press } from '../parts/press.tsx';
import { scrolls } from '../parts/scrolls.ts';
import {
  addClass,
  addLearner,
  beginRename,
  chooseLearner,
  classShown,
  fetchLearners,
  handPaper,
  learners,
  nameTrouble,
  newClass,
  newLearner,
  paperSaid,
  removeClass,
  renaming,
  setInClass,
} from '../state/learners.ts';
import { ClassPick } from './class-pick.tsx';

type Told = NonNullable<typeof learners.value>;

const wrongWith = (of: 'learner' | 'class'): string | null => {
  const told = nameTrouble.value;
  return told?.of === of ? `${told.trouble.what} ${told.trouble.next}` : null;
};

function Rows({ rows, chosen }: { rows: Told['learners']; chosen: Told['chosen'] }) {
  return (
    <table class="learners">
      <caption>Learners</caption>
      <thead>
        <tr>
          <th scope="col">Name</th>
          <th scope="col" class="mass">
            Lessons passed
          </th>
          <th scope="col">At this bench</th>
          <th scope="col">Papers and name</th>
        </tr>
      </thead>
      <tbody>
        {rows.map(({ id, name, passed, of }) => (
          <tr key={id}>
            <th scope="row">{name}</th>
            <td class="mass">
              {passed} of {of}
            </td>
            <td>
              {id === chosen ? (
                <b>is learning here</b>
              ) : (
                <Press slim onPress={() => void chooseLearner(id)}>
                  Learns here
                  <span class="unseen">: {name}</span>
                </Press>
              )}
            </td>
            <td>
              <div class="row">
                <Press slim onPress={() => void handPaper(id, 'sheet', download)}>
                  Course sheet
                  <span class="unseen"> of {name}</span>
                </Press>
                <Press
                  slim
                  disabled={passed < of}
                  onPress={() => void handPaper(id, 'certificate', download)}
                >
                  Certificate
                  <span class="unseen"> of {name}</span>
                </Press>
                <Press slim onPress={() => beginRename(id, name)}>
                  Rename
                  <span class="unseen"> {name}</span>
                </Press>
              </div>
            </td>
          </tr>
        ))}
      </tbody>
    </table>
  );
}

/** How each learner stands with each skill: the figures that a teacher looks for first. */
function BySkill({ rows }: { rows: Told['learners'] }) {
  const [first] = rows;
  if (first === undefined) return null;
  return (
    <table class="by-skill">
      <caption>Skills, lately, of 100</caption>
      <thead>
        <tr>
          <th scope="col">Name</th>
          {first.skills.map(({ skill }) => (
            <th scope="col" class="mass" key={skill}>
              {skill}
            </th>
          ))}
        </tr>
      </thead>
      <tbody>
        {rows.map(({ id, name, skills }) => (
          <tr key={id}>
            <th scope="row">{name}</th>
            {skills.map(({ skill, mark }) => (
              <td class="mass" key={skill}>
                {mark ?? <span class="soft">–</span>}
              </td>
            ))}
          </tr>
        ))}
      </tbody>
    </table>
  );
}

function Classes({ told }: { told: Told }) {
  return (
    <section aria-labelledby="classes">
      <h2 id="classes" class="caption">
        Classes
      </h2>
      {told.classes.map((one) => (
        <fieldset key={one.id} class="class-of">
          <legend>{one.name}</legend>
          {told.learners.map(({ id, name }) => (
            <label class="tick" key={id}>
              <input
                type="checkbox"
                checked={one.learners.includes(id)}
                onChange={(event) => void setInClass(one.id, id, event.currentTarget.checked)}
              />
              {name}
            </label>
          ))}
          <Press slim onPress={() => void removeClass(one.id)}>
            Dissolve
            <span class="unseen"> the class {one.name}</span>
          </Press>
        </fieldset>
      ))}
      <Form name="Add a class" onSubmit={() => void addClass()}>
        <TextField
          label="New class"
          value={newClass.value}
          maxLength={80}
          wrong={wrongWith('class')}
          onInput={(value) => {
            newClass.value = value;
          }}
        />
        <div class="row">
          <button type="submit" class="press slim">
            Add the class
          </button>
        </div>
      </Form>
    </section>
  );
}

/** A new learner, or a name that is put right: then the field is gone to. */
function WhoForm() {
  const place = useRef<HTMLDivElement>(null);
  const of = renaming.value;
  useEffect(() => {
    if (of !== null) place.current?.querySelector('input')?.focus();
  }, [of]);
  return (
    <div ref={place}>
      <Form name="Add a learner" onSubmit={() => void addLearner()}>
        <TextField
          label={of === null ? 'New learner' : 'Name, put right'}
          value={newLearner.value}
          maxLength={80}
          hint="A first name is enough. There is no password: it is said, not proved."
          wrong={wrongWith('learner')}
          onInput={(value) => {
            newLearner.value = value;
          }}
        />
        <div class="row">
          <button type="submit" class="press primary">
            {of === null ? 'Add, and learn here' : 'Keep the name'}
          </button>
        </div>
      </Form>
    </div>
  );
}

/** Learners and classes: who there is, who is learning at this bench, and their papers. */
export function Learners() {
  useEffect(() => void fetchLearners(), []);
  const told = learners.value;
  if (told === null) return null;
  const shown = told.classes.find((one) => one.id === classShown.value);
  const rows = told.learners.filter(({ id }) => shown === undefined || shown.learners.includes(id));
  return (
    <section class="paper" aria-label="Learners and classes" {...scrolls}>
      <WhoForm />
      <ClassPick />
      {rows.length > 0 && <Rows rows={rows} chosen={told.chosen} />}
      <BySkill rows={rows} />
      <p role="status" class="soft">
        {paperSaid}
      </p>
      {told.learners.length > 0 && <Classes told={told} />}
    </section>
  );
}
