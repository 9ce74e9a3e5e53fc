import type { LabelPreview } from '../state/labels.ts';

type Sheet = LabelPreview['sheets'][number];
type Label = LabelPreview['labels'][number];

/** A point of type in mm. */
const POINT = 25.4 / 72;

function Code({ code }: { code: NonNullable<Label['code']> }) {
  const scale = code.side / code.across;
  return (
    <path
      class="label-ink"
      d={code.path}
      transform={`translate(${code.x} ${code.y}) scale(${scale})`}
      shape-rendering="crispEdges"
    />
  );
}

/** Each line as wide as the printed one, whatever the screen's own letters are. */
function Printed({ label }: { label: Label }) {
  return (
    <>
      {label.lines.map((line) => (
        <text
          key={`${line.y} ${line.text}`}
          class={`label-ink label-${line.face}`}
          x={line.x}
          y={line.y}
          font-size={line.size * POINT}
          textLength={line.width > 0 ? line.width : undefined}
          lengthAdjust="spacingAndGlyphs"
        >
          {line.text}
        </text>
      ))}
      {label.code !== null && <Code code={label.code} />}
    </>
  );
}

function Edge({ sheet, empty }: { sheet: Sheet; empty: boolean }) {
  const shape = empty ? 'label-edge empty' : sheet.outline ? 'label-edge drawn' : 'label-edge';
  const { width, height } = sheet.label;
  return sheet.round ? (
    <circle class={shape} cx={width / 2} cy={width / 2} r={width / 2} />
  ) : (
    <rect class={shape} width={width} height={height} />
  );
}

function Ruler({ ruler: { x, y, length } }: { ruler: NonNullable<Sheet['ruler']> }) {
  const marks = Array.from({ length: Math.floor(length / 10) + 1 }, (_, i) => x + i * 10);
  return (
    <g class="label-ruler">
      <path d={`M${x} ${y}h${length}${marks.map((at) => `M${at} ${y - 1}v2`).join('')}`} />
      <text x={x + length / 2} y={y + 3.2} text-anchor="middle" font-size={6 * POINT}>
        {length} mm
      </text>
    </g>
  );
}

interface SheetProps {
  readonly sheet: Sheet;
  readonly labels: readonly Label[];
}

function OneSheet({ sheet, labels }: SheetProps) {
  const { which, page, no, of } = sheet;
  const byLot = new Map(labels.filter((one) => one.which === which).map((one) => [one.lot, one]));
  const count = sheet.places.filter(({ lot }) => lot !== null).length;
  const name = `${which === 'bottle' ? 'Bottle' : 'Lid'} labels, page ${no} of ${of}: ${count} of ${sheet.places.length} places`;
  return (
    <figure class="label-sheet">
      <figcaption>{name}</figcaption>
      <svg
        role="img"
        aria-label={name}
        width={`${page.width}mm`}
        height={`${page.height}mm`}
        viewBox={`0 0 ${page.width} ${page.height}`}
      >
        <rect class="label-page" width={page.width} height={page.height} />
        {sheet.places.map(({ n, x, y, lot }) => {
          const label = lot === null ? undefined : byLot.get(lot);
          return (
            <g key={n} transform={`translate(${x} ${y})`}>
              <Edge sheet={sheet} empty={label === undefined} />
              {label === undefined ? (
                <text
                  class="label-no"
                  x={sheet.label.width / 2}
                  y={sheet.label.height / 2 + 1.5}
                  text-anchor="middle"
                  font-size={4.2}
                >
                  {n}
                </text>
              ) : (
                <Printed label={label} />
              )}
            </g>
          );
        })}
        {sheet.ruler !== null && <Ruler ruler={sheet.ruler} />}
      </svg>
    </figure>
  );
}

/** The pages as they will be printed, as large as the screen believes a millimetre to be. */
export function LabelSheets({ preview }: { preview: LabelPreview }) {
  return (
    <>
      {preview.sheets.map((sheet) => (
        <OneSheet key={`${sheet.which} ${sheet.no}`} sheet={sheet} labels={preview.labels} />
      ))}
      {preview.more > 0 && <p class="soft">And {preview.more} further pages, laid in the same way.</p>}
    </>
  );
}
