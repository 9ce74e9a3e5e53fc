import { Pick } from '../parts/form.tsx';
import { classShown, learners } from '../state/learners.ts';

/** Which class is looked at; nothing where there is none. */
export function ClassPick() {
  const classes = learners.value?.classes ?? [];
  if (classes.length === 0) return null;
  return (
    <div class="class-pick">
      <Pick
        label="Class"
        value={classShown.value}
        options={[
          { value: '', says: 'everyone' },
          ...classes.map(({ id, name }) => ({ value: id, says: name })),
        ]}
        onPick={(id) => {
          classShown.value = id;
        }}
      />
    </div>
  );
}
