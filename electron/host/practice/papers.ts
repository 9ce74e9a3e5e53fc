import { COURSE } from '../../../core/practice/course.ts';
import { lessonProgress } from '../../../core/practice/learner.ts';
import type { Document } from '../documents/document.ts';
import { writeWhole } from '../documents/export.ts';
import type { Rooms } from '../rooms.ts';
import type { Input } from '../table.ts';
import { HostTrouble } from '../trouble.ts';

/** The paper of a learner. @throws HostTrouble when there is no such learner, or a lesson is still to be passed */
async function paperOf(
  { practising }: Rooms,
  { learner: id, kind }: Input<'practice.paper'>,
): Promise<Document> {
  const { learning, passMark } = practising;
  const learner = learning.learners().find((one) => one.id === id);
  if (learner === undefined)
    throw new HostTrouble('There is no such learner.', 'Practice', 'Choose one from the list.');
  const attempts = learning.attemptsOf(id);
  const open = COURSE.filter((one) => !lessonProgress(one.id, attempts, passMark).passed);
  if (kind === 'certificate' && open.length > 0)
    throw new HostTrouble(
      `${learner.name} has still to pass ${open.map((one) => `"${one.title}"`).join(', ')}.`,
      'Practice',
      'The course sheet can be printed at any time.',
    );
  const { coursePdf } = await import('../documents/course-pdf.ts');
  const when = new Date().toISOString();
  const bytes = await coursePdf({ kind, learner, attempts, passMark, when });
  const name = learner.name.replace(/[^\p{L}\p{N}]+/gu, '-').toLowerCase() || 'learner';
  return { name: `${when.slice(0, 10)}-${name}-${kind}.pdf`, type: 'application/pdf', bytes };
}

/** Course sheet and certificate, for the browser or by the desktop's own dialog. */
export function paperHandlers(rooms: Rooms) {
  const { capabilities } = rooms;
  return {
    'practice.paper': async (ask: Input<'practice.paper'>) => {
      const { name, type, bytes } = await paperOf(rooms, ask);
      return { name, type, base64: Buffer.from(bytes).toString('base64') };
    },
    'practice.paper-save': async (ask: Input<'practice.paper-save'>) => {
      if (capabilities.saveDialog === null)
        throw new HostTrouble(
          'This window has no file dialog.',
          'Practice',
          'Let the browser save the file.',
        );
      const { name, bytes } = await paperOf(rooms, ask);
      const path = await capabilities.saveDialog(name);
      if (path !== null) writeWhole(path, bytes);
      return { path };
    },
  };
}
