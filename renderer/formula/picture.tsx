import { useId } from 'preact/hooks';
import type { Output } from '../../electron/host/table.ts';

type Picture = NonNullable<Output<'formulas.check'>['picture']>;
type Part = Picture['notes'][number];

const WIDE = 600;
const HIGH = 34;
/**
 * Patterns in the order of the parts: told apart by their strokes, in any light and on paper. After the last the first
 * comes again; the number of a part tells the two apart.
 */
const PATTERNS = [
  'none',
  'slant',
  'dots',
  'solid',
  'cross',
  'lines',
  'back',
  'grid',
  'pillars',
  'rings',
  'bricks',
] as const;
/** Least room between two numbers under a strip, share of its length. */
const NUMBER_ROOM = 0.045;

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
      <pattern id={`${id}-back`} width="5" height="5" patternUnits="userSpaceOnUse">
        <path d="M0 0 5 5M4-1 6 1M-1 4 1 6" class="stroke" />
      </pattern>
      <pattern id={`${id}-grid`} width="7" height="7" patternUnits="userSpaceOnUse">
        <path d="M0 3H7M3 0V7" class="stroke" />
      </pattern>
      <pattern id={`${id}-pillars`} width="6" height="6" patternUnits="userSpaceOnUse">
        <path d="M3 0V6" class="stroke" />
      </pattern>
      <pattern id={`${id}-rings`} width="9" height="9" patternUnits="userSpaceOnUse">
        <circle cx="4.5" cy="4.5" r="2.6" class="stroke" />
      </pattern>
      <pattern id={`${id}-bricks`} width="10" height="10" patternUnits="userSpaceOnUse">
        <path d="M0 2H10M0 7H10M2 2V7M7 7V12M7-3V2" class="stroke" />
      </pattern>
    </defs>
  );
}

const fillOf = (id: string, at: number): string => {
  const pattern = PATTERNS[at % PATTERNS.length] ?? 'none';
  return pattern === 'none' ? 'none' : pattern === 'solid' ? 'currentColor' : `url(#${id}-${pattern})`;
};

/**
 * Where the numbers under a strip stand, as shares of its length: each under the middle of its part, but for what room
 * the others need. Parts of nothing have none.
 */
export function numbersUnder(
  shares: readonly number[],
): { readonly number: number; readonly middle: number; readonly at: number }[] {
  let from = 0;
  const shown = shares.flatMap((share, place) => {
    const middle = from + share / 2;
    from += share;
    return share > 0 ? [{ number: place + 1, middle, at: middle }] : [];
  });
  const room = Math.min(NUMBER_ROOM, 1 / Math.max(shown.length, 1));
  let least = room / 2;
  const pushed = shown.map((one) => {
    const at = Math.max(one.at, least);
    least = at + room;
    return { ...one, at };
  });
  let most = 1 - room / 2;
  return pushed
    .toReversed()
    .map((one) => {
      const at = Math.min(one.at, most);
      most = at - room;
      return { ...one, at };
    })
    .toReversed();
}

/** The numbers of the parts under a strip, each led to its part. */
function Numbers({ parts }: { readonly parts: readonly Part[] }) {
  const numbers = numbersUnder(parts.map(({ share }) => share));
  return (
    <div class="part-numbers" aria-hidden="true">
      <svg viewBox={`0 0 ${WIDE} 10`} preserveAspectRatio="none" role="presentation">
        {numbers.map(({ number, middle, at }) => (
          <path key={number} class="lead" d={`M${middle * WIDE} 0L${at * WIDE} 10`} />
        ))}
      </svg>
      {numbers.map(({ number, at }) => (
        <span key={number} style={{ left: `${at * 100}%` }}>
          {number}
        </span>
      ))}
    </div>
  );
}

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
    <div class="strip">
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
      <Numbers parts={parts} />
    </div>
  );
}

/** Number and pattern of a part, as in the strip with this `id`. */
export function Swatch({ id, at }: { readonly id: string; readonly at: number }) {
  return (
    <span class="swatch" aria-hidden="true">
      <span class="part-number">{at + 1}</span>
      <svg viewBox="0 0 26 18" role="presentation">
        <rect x="1" y="1" width="24" height="16" fill={fillOf(id, at)} class="part" />
      </svg>
    </span>
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
