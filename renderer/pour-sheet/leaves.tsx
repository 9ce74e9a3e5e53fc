import { Leaves } from '../parts/leaves.tsx';
import { fragmentOf, route } from '../state/route.ts';

const ROW = [
  { item: null, says: 'At the bench' },
  { item: 'sheet', says: 'Pour sheet' },
  { item: 'typed-in', says: 'Type in a pour sheet' },
] as const;

/** Leaves of Pour: at the bench, and by hand where no computer goes. */
export function PourLeaves() {
  const { item } = route.value;
  return (
    <Leaves
      of="Pour"
      leaves={ROW.map((leaf) => ({
        href: leaf.item === null ? fragmentOf('pour') : fragmentOf('pour', leaf.item),
        says: leaf.says,
        here: item === leaf.item,
      }))}
    />
  );
}
