import demo from '../../fixtures/demo-workshop.json' with { type: 'json' };
import { readWorkshop, type WrittenWorkshop } from './read-workshop.ts';

/** The demo workshop: an imagined one, given to an empty database. @throws HostTrouble when the file is broken */
export function demoWorkshop(): WrittenWorkshop {
  return readWorkshop(demo, 'demo workshop');
}
