import type { JSX } from 'preact';
import { useEffect } from 'preact/hooks';
import { BringIn } from '../exchange/bring-in.tsx';
import { DemoLine } from '../exchange/demo-line.tsx';
import { HandOut } from '../exchange/hand-out.tsx';
import { LabelLeaf } from '../labels/leaf.tsx';
import { Dilute } from '../organ/dilute.tsx';
import { LotSheet, NewLot } from '../organ/lot-sheet.tsx';
import { MaterialSheet } from '../organ/material-sheet.tsx';
import { Shelves } from '../organ/shelves.tsx';
import { Soon } from '../organ/soon.tsx';
import { Leaves } from '../parts/leaves.tsx';
import { labelledLots } from '../state/labels.ts';
import { wanting } from '../state/organ.ts';
import { fragmentOf, route } from '../state/route.ts';
import { fetchShelves, shelves } from '../state/workshop.ts';

/** Leaves that stand in the row under the head, in their order; `item` is what the address names them by. */
const ROW: readonly { readonly item: string; readonly says: string; readonly count?: () => number }[] = [
  { item: '', says: 'Shelves' },
  { item: 'soon', says: 'Running out and expiring', count: () => wanting.value },
  { item: 'new-material', says: 'New material' },
  { item: 'bring-in', says: 'Bring in' },
  { item: 'hand-out', says: 'Hand out' },
  { item: 'labels', says: 'Labels' },
];

/** What the address names, by the word before its colon; anything else is the shelves. */
const LEAF: Readonly<Record<string, (of: string) => JSX.Element>> = {
  lot: (code) => <LotSheet key={code} code={code} />,
  'new-lot': (material) => <NewLot key={material} of={material} />,
  dilute: (code) => <Dilute key={code} code={code} />,
  labels: (of) => <LabelLeaf lots={labelledLots(of)} />,
  material: (key) => <MaterialSheet key={key} of={key} />,
  'new-material': () => <MaterialSheet key="" of={null} />,
  soon: () => <Soon />,
  'bring-in': () => <BringIn />,
  'hand-out': () => <HandOut />,
};

/** "lot:GE-21" is the leaf "lot" of "GE-21". */
function leafOf(item: string | null): { readonly leaf: string; readonly of: string } {
  const text = item ?? '';
  const colon = text.indexOf(':');
  return colon < 0 ? { leaf: text, of: '' } : { leaf: text.slice(0, colon), of: text.slice(colon + 1) };
}

/** The Organ: shelves, the sheets of materials and lots, and what else is done with bottles. */
export function OrganScreen() {
  useEffect(() => void fetchShelves(), []);
  const { leaf, of } = leafOf(route.value.item);
  const all = shelves.value;
  return (
    <div class="screen organ-screen">
      <header class="screen-head">
        <h1>Organ</h1>
        {all !== null && (
          <p class="soft">
            {all.reduce((sum, shelf) => sum + shelf.materials.length, 0)} materials on {all.length} shelves
          </p>
        )}
        <DemoLine />
      </header>
      <Leaves
        of="Organ"
        leaves={ROW.map(({ item, says, count }) => ({
          href: item === '' ? fragmentOf('organ') : fragmentOf('organ', item),
          says,
          here: leaf === item,
          ...(count === undefined ? {} : { count: count() }),
        }))}
      />
      <div class="screen-body">{(LEAF[leaf] ?? (() => <Shelves />))(of)}</div>
    </div>
  );
}
