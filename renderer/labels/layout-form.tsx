import type { RefObject } from 'preact';
import { useEffect, useRef } from 'preact/hooks';
import { Form, Pick, TextField } from '../parts/form.tsx';
import { InPlace } from '../parts/in-place.tsx';
import { Press } from '../parts/press.tsx';
import {
  keepLayout,
  type LabelLayout,
  labelling,
  labelTrouble,
  layingOut,
  leaveLayout,
  removeLayout,
  writeLayout,
} from '../state/labels.ts';
import { NumberField } from './number-field.tsx';

const SHAPES = [
  { value: 'rectangle', says: 'rectangle, for the bottle' },
  { value: 'round', says: 'round, for the lid' },
] as const;

function Sizes({ layout }: { layout: LabelLayout }) {
  const { page, label, shape } = layout;
  const millimetres = (
    name: string,
    value: number,
    least: number,
    most: number,
    write: (n: number) => void,
  ) => <NumberField key={name} label={name} value={value} least={least} most={most} onNumber={write} />;
  const round = shape === 'round';
  return (
    <>
      {millimetres('Page width, mm', page.width, 10, 500, (width) =>
        writeLayout({ page: { ...page, width } }),
      )}
      {millimetres('Page height, mm', page.height, 10, 500, (height) =>
        writeLayout({ page: { ...page, height } }),
      )}
      {round
        ? millimetres('Diameter, mm', label.width, 10, 100, (width) =>
            writeLayout({ label: { width, height: width } }),
          )
        : [
            millimetres('Label width, mm', label.width, 10, 300, (width) =>
              writeLayout({ label: { ...label, width } }),
            ),
            millimetres('Label height, mm', label.height, 10, 300, (height) =>
              writeLayout({ label: { ...label, height } }),
            ),
          ]}
      <NumberField
        label="Columns"
        whole
        value={layout.columns}
        least={1}
        most={60}
        onNumber={(columns) => writeLayout({ columns })}
      />
      <NumberField
        label="Rows"
        whole
        value={layout.rows}
        least={1}
        most={60}
        onNumber={(rows) => writeLayout({ rows })}
      />
      {millimetres('Margin at the left, mm', layout.left, 0, 300, (left) => writeLayout({ left }))}
      {millimetres('Margin at the top, mm', layout.top, 0, 300, (top) => writeLayout({ top }))}
      {millimetres('Gap between columns, mm', layout.gapX, 0, 100, (gapX) => writeLayout({ gapX }))}
      {millimetres('Gap between rows, mm', layout.gapY, 0, 100, (gapY) => writeLayout({ gapY }))}
    </>
  );
}

/** The form stands where the settings stood: the hand goes into it, and back to them. */
function useHand(place: RefObject<HTMLElement | null>, open: boolean): void {
  useEffect(() => {
    if (!open) return;
    const side = place.current?.closest<HTMLElement>('.labels-side');
    place.current?.querySelector('input')?.focus();
    return () => side?.focus();
  }, [open]);
}

/** A layout of one's own: paper, labels, rows and columns, margins and gaps. A roll's page is one label. */
export function LayoutForm({ lots }: { lots: readonly string[] }) {
  const layout = layingOut.value;
  const place = useRef<HTMLElement>(null);
  useHand(place, layout !== null);
  if (layout === null) return null;
  const known = labelling.value?.settings.own.some(({ id }) => id === layout.id) === true;
  return (
    <section class="label-layout" aria-labelledby="own-layout" ref={place}>
      <h3 id="own-layout" class="caption">
        A layout of your own
      </h3>
      <Form name="Layout" onSubmit={() => void keepLayout(lots)}>
        <TextField
          label="Name"
          wide
          maxLength={80}
          value={layout.name}
          onInput={(name) => writeLayout({ name })}
        />
        <Pick
          label="Shape"
          wide
          value={layout.shape}
          options={SHAPES}
          onPick={(shape) =>
            writeLayout({
              shape,
              ...(shape === 'round'
                ? { label: { width: layout.label.width, height: layout.label.width } }
                : {}),
            })
          }
        />
        <Sizes layout={layout} />
        <InPlace id="told-layout" trouble={labelTrouble.value} />
        <div class="row">
          <button type="submit" class="press slim">
            Keep this layout
          </button>
          <Press slim onPress={leaveLayout}>
            Leave it
          </Press>
          {known && (
            <Press slim onPress={() => void removeLayout(layout.id, lots)}>
              Take it away
            </Press>
          )}
        </div>
      </Form>
    </section>
  );
}
