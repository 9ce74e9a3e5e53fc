import demo from '../../fixtures/demo-workshop.json' with { type: 'json' };
import { readWorkshop } from './read-workshop.ts';
import type { Workshop } from './store/workshop.ts';

/** The demo workshop: an imagined one, given to an empty database. @throws HostTrouble when the file is broken */
export function demoWorkshop(): Workshop {
  return readWorkshop(demo, 'demo workshop');
}
