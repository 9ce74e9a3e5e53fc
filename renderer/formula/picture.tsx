import { useId } from 'preact/hooks';
import type { Output } from '../../electron/host/table.ts';

type Picture = NonNullable<Output<'formulas.check'>['picture']>;
type Part = Picture['notes'][number];

const WIDE = 600;
const HIGH = 34;
/** Patterns in the order of the parts: told apart by their strokes, in any light and on paper. */
const PATTERNS = ['none', 'slant', 'dots', 'solid', 'cross', 'lines'] as const;

function Patterns({ id }: { id: string }) {
  return (
    <defs>
      <pattern id={`${id}-slant`} width="8" height="8" patternUnits="userSpaceOnUse">
        <path d="M0 8 8 0M-2 2 2-2M6 10 10 6" class="stroke" />
      </pattern>
      <pattern id={`${id}-dots`} width="8" height="8" patternUnits="userSpaceOnUse">
        <circle cx="4" cy="4" r="1.6" class="dot" />
      </pattern>
      <pattern id={`${id}-cross`} width="9" height="9" patternUnits="userSpaceOnUse">
        <path d="M0 0 9 9M9 0 0 9" class="stroke" />
      </pattern>
      <pattern id={`${id}-lines`} width="6" height="6" patternUnits="userSpaceOnUse">
        <path d="M0 3H6" class="stroke" />
      </pattern>
    </defs>
  );
}

const fillOf = (id: string, at: number): string => {
  const pattern = PATTERNS[at % PATTERNS.length] ?? 'none';
  return pattern === 'none' ? 'none' : pattern === 'solid' ? 'currentColor' : `url(#${id}-${pattern})`;
};

/** A bar as long as the whole, cut into its parts, each in the pattern of its place; `id` names the patterns. */
export function Strip({
  id,
  name,
  parts,
}: {
  readonly id: string;
  readonly name: string;
  readonly parts: readonly Part[];
}) {
  let from = 0;
  const drawn = parts.map((part, at) => {
    const x = from * WIDE;
    from += part.share;
    return { ...part, x, width: part.share * WIDE, fill: fillOf(id, at) };
  });
  return (
    <svg
      viewBox={`0 0 ${WIDE} ${HIGH}`}
      preserveAspectRatio="none"
      role="img"
      aria-label={`${name}: ${parts.map((part) => `${part.name} ${part.percent}`).join(', ')}`}
    >
      <Patterns id={id} />
      {drawn.map((part) => (
        <rect
          key={part.name}
          x={part.x}
          y="1"
          width={part.width}
          height={HIGH - 2}
          fill={part.fill}
          class="part"
        />
      ))}
    </svg>
  );
}

/** The pattern of a part, as in the strip with this `id`. */
export function Swatch({ id, at }: { readonly id: string; readonly at: number }) {
  return (
    <svg class="swatch" viewBox="0 0 26 18" aria-hidden="true">
      <rect x="1" y="1" width="24" height="16" fill={fillOf(id, at)} class="part" />
    </svg>
  );
}

function Bar({ name, parts }: { name: string; parts: readonly Part[] }) {
  const id = useId();
  return (
    <figure class="share-bar">
      <figcaption>{name}</figcaption>
      <Strip id={id} name={name} parts={parts} />
      <table>
        <caption class="unseen">{name}, share of what is neat</caption>
        <tbody>
          {parts.map((part, at) => (
            <tr key={part.name}>
              <td class="swatch">
                <Swatch id={id} at={at} />
              </td>
              <th scope="row">{part.name}</th>
              <td class="mass">{part.percent}</td>
            </tr>
          ))}
        </tbody>
      </table>
    </figure>
  );
}

/** Share of top, heart and base, and of families, in what is neat of a formula. */
export function FormulaPicture({ picture }: { picture: Picture | null }) {
  if (picture === null || picture.notes.length === 0) return null;
  return (
    <section class="picture" aria-label="Picture of the formula">
      <Bar name="Notes" parts={picture.notes} />
      <Bar name="Families" parts={picture.families} />
      <p class="soft">Shares of what is neat; {picture.neat} of the whole is neat.</p>
    </section>
  );
}
