import { commandOf } from '../commanding.ts';
import type { Handlers, Rooms } from '../rooms.ts';
import type { BenchView, CallName, Input } from '../table.ts';
import { HostTrouble } from '../trouble.ts';
import { inLesson, NOT_IN_LESSONS } from './in-lesson.ts';

/** What belongs to the workshop's own benches: refused at a practice bench rather than done beside it. */
const REFUSED = [
  'pour.start',
  'pour.take-up',
  'pour.leave',
  'pour.sheet',
  'pour.typed-in',
  'balance.choose',
  'balance.find',
  'records.shelf',
  'records.shelve',
] as const satisfies readonly CallName[];

function refused(): never {
  throw new HostTrouble(
    'This belongs to the workshop, and a lesson is open here.',
    'Practice',
    'End the lesson or break it off first.',
  );
}

/**
 * Answers of a practice bench to the calls that a bench is asked: the lesson under way hears each, and everything is
 * written into the store of Practice. Calls that are about no bench are answered as at any other.
 */
export function practiceBenchHandlers(rooms: Rooms): Partial<Handlers> {
  const { practising, id } = rooms;
  const here = practising.at(id);
  const { bench } = here;
  const shown = (): BenchView => inLesson(bench.view(), here.run);
  const pipette = () => here.pipette ?? here.lent?.pipette() ?? refused();
  return {
    ...Object.fromEntries(REFUSED.map((name) => [name, refused])),
    'bench.view': shown,
    'pour.do': (input: Input<'pour.do'>) => {
      const run = practising.expectRun(id);
      if (input.do === 'settle') bench.settleAnew();
      else if (NOT_IN_LESSONS.has(input.do)) refused();
      else
        run.command(
          commandOf(input, bench.settling.settled, {
            state: bench.batch?.state ?? null,
            workshop: () => ({ lots: [], materials: [] }),
          }),
        );
      return shown();
    },
    'pour.drops': ({ count }: Input<'pour.drops'>) => {
      bench.learnDrops(count);
      return shown();
    },
    'pour.pipette': ({ name }: Input<'pour.pipette'>) => {
      bench.usePipette(name);
      return bench.view();
    },
    'balance.press': async ({ key }: Input<'balance.press'>) => {
      if (bench.balance === null) refused();
      await bench.balance.press(key);
      practising.expectRun(id).pressed(key);
      return {};
    },
    'balance.type': ({ text }: Input<'balance.type'>) => {
      if (here.lent === null) refused();
      here.lent.type(text);
      return shown();
    },
    'pipette.drop': ({ count }: Input<'pipette.drop'>) => {
      pipette().drop(count);
      return {};
    },
    'pipette.squeeze': ({ on }: Input<'pipette.squeeze'>) => {
      pipette().squeeze(on);
      return {};
    },
    'pipette.vessel': ({ on }: Input<'pipette.vessel'>) => {
      if (here.pipette === null) pipette().vessel(on);
      else practising.expectRun(id).put(on);
      return {};
    },
  };
}
