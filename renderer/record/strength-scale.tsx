import type { RecordView } from '../../electron/host/table.ts';
import { percentText, spreadText } from '../figures/percent.ts';

type Scale = NonNullable<RecordView['strength']['scale']>;

const WIDE = 600;
const HIGH = 56;
const MIDDLE = 28;

/** How strength and U lie to the window, in words. */
function lieOf({ made, u, low, high }: Scale): string {
  const [middle, spread] = [Number(made), Number(u)];
  if (middle > Number(high)) return 'above its window';
  if (middle < Number(low)) return 'below its window';
  return middle + spread <= Number(high) && middle - spread >= Number(low)
    ? 'inside its window, with all of U'
    : 'inside its window, U reaches over the edge';
}

/** Strength as made, with its U, on a scale with the target and the window that those of the lines make. */
export function StrengthScale({ scale }: { scale: Scale | null }) {
  if (scale === null) return null;
  const [made, u, target, low, high] = [scale.made, scale.u, scale.target, scale.low, scale.high].map(
    Number,
  ) as [number, number, number, number, number];
  const ends = [made - u, made + u, target, low, high];
  const least = Math.min(...ends);
  const span = Math.max(Math.max(...ends) - least, 1e-9);
  const across = (value: number): number => 30 + ((value - least) / span) * (WIDE - 60);
  const lies = lieOf(scale);
  const windowText = `${percentText(scale.low, 3)} to ${percentText(scale.high, 3)}`;
  const madeText = `${percentText(scale.made, 3)} ± ${spreadText(scale.u)}`;
  return (
    <figure class="strength-scale">
      <svg
        viewBox={`0 0 ${WIDE} ${HIGH}`}
        role="img"
        aria-label={`Strength on a scale: as made ${madeText}, target ${percentText(scale.target, 3)}, window ${windowText}; ${lies}`}
      >
        <path class="line" d={`M0 ${MIDDLE}H${WIDE}`} />
        <rect class="window" x={across(low)} y="8" width={across(high) - across(low)} height={HIGH - 16} />
        <path class="target" d={`M${across(target)} 2V${HIGH - 2}`} />
        <path
          class="u"
          d={`M${across(made - u)} ${MIDDLE}H${across(made + u)}M${across(made - u)} ${MIDDLE - 7}v14M${across(made + u)} ${MIDDLE - 7}v14`}
        />
        <circle class="made-at" cx={across(made)} cy={MIDDLE} r="6" />
      </svg>
      <figcaption class="soft">
        ● as made {madeText}, {lies} · line: target {percentText(scale.target, 3)} · box: window {windowText},
        from the windows of the lines
      </figcaption>
    </figure>
  );
}
