import { useEffect } from 'preact/hooks';
import { Pick } from '../parts/form.tsx';
import { scrolls } from '../parts/scrolls.ts';
import { fetchRules, rules, setPassMark, weigh } from '../state/teaching.ts';

const WEIGHTS = ['0', '1', '2', '3', '4', '5'];
const MARKS = ['50', '60', '70', '80', '90'];

/** The rules that scores come from: each a sentence, with the weight a teacher gives it. */
export function Rules() {
  useEffect(() => void fetchRules(), []);
  const told = rules.value;
  if (told === null) return null;
  const mark = String(told.passMark);
  return (
    <section class="paper" aria-label="Rules and weights" {...scrolls}>
      <p>
        A score is the mean of what these rules found, by their weights. The rules that a lesson is about
        count three times there; its page names them. A rule that has nothing to judge in a lesson does not
        count there; a weight of 0 leaves it out. What was scored before stays as it was.
      </p>
      <div class="form">
        <Pick
          label="A lesson is passed from"
          value={mark}
          options={[...new Set([...MARKS, mark])].map((value) => ({ value, says: `${value} of 100` }))}
          onPick={(value) => void setPassMark(Number(value))}
        />
      </div>
      <table class="weights">
        <caption>Rules</caption>
        <thead>
          <tr>
            <th scope="col">Rule</th>
            <th scope="col">As it is told</th>
            <th scope="col">Skill</th>
            <th scope="col">Weight</th>
          </tr>
        </thead>
        <tbody>
          {told.rules.map(({ id, title, sentence, skill, weight, usual }) => (
            <tr key={id}>
              <th scope="row">{title}</th>
              <td>{sentence}</td>
              <td class="soft">{skill}</td>
              <td>
                <select
                  aria-label={`Weight of "${title}"`}
                  value={String(weight)}
                  onChange={(event) => void weigh(id, Number(event.currentTarget.value))}
                >
                  {WEIGHTS.map((value) => (
                    <option key={value} value={value}>
                      {value}
                      {Number(value) === usual ? ' (usual)' : ''}
                    </option>
                  ))}
                </select>
              </td>
            </tr>
          ))}
        </tbody>
      </table>
    </section>
  );
}
