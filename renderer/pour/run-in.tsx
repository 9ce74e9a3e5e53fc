import { useComputed } from '@preact/signals';
import { along, type Lane, type LaneStep, laneOf, ticksOf } from '../figures/lane.ts';
import { type Size, useSize } from '../parts/use-size.ts';
import { solid, standing, step, toGo, willSettle } from '../state/bench.ts';

/** Measures of the drawing, one to a pixel: room at both ends, above for the gate's word, below for the labels. */
const EDGE = 26;
const ABOVE = 30;
const BELOW = 44;
/** Room that a label of the tick line takes. */
const LABEL = 62;

/** Until the place of the drawing is known, and never smaller than. */
const FIRST: Size = { width: 840, height: 160 };
const SMALLEST: Size = { width: 320, height: 120 };

const MARKS = {
  approach: 'M27 0C14 -19 -21 -22 -21 0C-21 22 14 19 27 0Z',
  none: 'M27 0C14 -19 -21 -22 -21 0C-21 22 14 19 27 0Z',
  inside: 'M0 -20A20 20 0 1 1 0 20A20 20 0 1 1 0 -20Z',
  over: 'M0 -25L25 0L0 25L-25 0Z',
} as const;

function stepOf(): LaneStep | null {
  const now = step.value;
  if (now === null) return null;
  return { target: Number(now.target), low: Number(now.low), high: Number(now.high), drop: Number(now.drop) };
}

/** How far past the window the pour is, rounded up to a decade: the lane is not lengthened at every reading. */
function excessOf(now: LaneStep | null): number {
  const excess = -Number(toGo.value ?? '0');
  return now === null || excess <= now.high - now.target ? 0 : 10 ** Math.ceil(Math.log10(excess));
}

interface SceneryProps {
  readonly lane: Lane;
  readonly step: LaneStep;
  readonly size: Size;
}

function Scenery({ lane, step: now, size: { width, height } }: SceneryProps) {
  const room = width - 2 * EDGE;
  const base = height - BELOW;
  const end = width - EDGE;
  const x = (r: number) => EDGE + room * along(lane, r);
  const from = x(now.target - now.low);
  const to = x(now.target - now.high);
  const foot = base + 16;
  return (
    <>
      <rect class="lane-window" x={from} y={ABOVE} width={Math.max(0, to - from)} height={base - ABOVE} />
      <rect class="lane-over" x={to} y={ABOVE + 14} width={end - to} height={base - ABOVE - 14} />
      <path class="lane-base" d={`M${EDGE} ${base}H${end}`} />
      {ticksOf(lane, now, LABEL / room).map((tick) => (
        <g key={tick.label} class="lane-tick">
          <path d={`M${x(tick.toGo)} ${base}v11`} />
          <text x={x(tick.toGo)} y={height - 10}>
            {tick.label}
          </text>
        </g>
      ))}
      <path
        class="lane-gate"
        d={`M${from + 11} ${ABOVE}H${from}V${foot}H${from + 11}M${to - 11} ${ABOVE}H${to}V${foot}H${to - 11}`}
      />
      <text class="lane-word" x={(from + to) / 2} y={ABOVE - 11}>
        window
      </text>
      <text class="lane-end" x={end} y={height - 10}>
        over
      </text>
    </>
  );
}

/** The settle mark: a faint cross where the pour will come to rest, on its band. */
function SettleMark({ lane, size, level }: { lane: Lane; size: Size; level: number }) {
  const foreseen = useComputed(() => {
    const mark = willSettle.value;
    if (mark === null) return null;
    const x = (r: number) => EDGE + (size.width - 2 * EDGE) * along(lane, r);
    const toGo = Number(mark.toGo);
    const band = Number(mark.band);
    return { x: x(toGo), from: x(toGo + band), to: x(toGo - band) };
  });
  const at = foreseen.value;
  if (at === null) return null;
  const [x, from, to] = [at.x, at.from, at.to].map((one) => one.toFixed(1));
  return (
    <g class="lane-settle">
      <path class="settle-band" d={`M${from} ${level}H${to}M${from} ${level - 7}v14M${to} ${level - 7}v14`} />
      <path class="settle-cross" d={`M${x} ${level - 30}V${level + 30}`} />
    </g>
  );
}

/**
 * The run-in: a lane that is logarithmic in the mass still to go, ending in a gate as wide as the window.
 * Scenery is drawn once a step; a reading moves the mark and the run only.
 */
export function RunIn() {
  const { element, size } = useSize(FIRST, SMALLEST);
  const still = useComputed(stepOf);
  const beyond = useComputed(() => excessOf(still.value));
  const lane = useComputed(() => (still.value === null ? null : laneOf(still.value, beyond.value)));
  const level = useComputed(() => (ABOVE + size.value.height - BELOW) / 2 + 3);
  const here = useComputed(() => {
    const room = size.value.width - 2 * EDGE;
    return lane.value === null ? EDGE : EDGE + room * along(lane.value, Number(toGo.value ?? '0'));
  });
  const run = useComputed(
    () => `M${EDGE - 3} ${level.value}H${Math.max(EDGE - 3, here.value - 21).toFixed(1)}`,
  );
  const moved = useComputed(() => `translate(${here.value.toFixed(1)} ${level.value})`);
  const shape = useComputed(() => MARKS[standing.value]);
  const drawn = useComputed(() => (solid.value ? 'solid' : 'hollow'));
  const read = useComputed(() => toGo.value !== null);
  const now = still.value;
  return (
    <div class="run-in" ref={element}>
      {now !== null && lane.value !== null && (
        <svg
          width={size.value.width}
          height={size.value.height}
          role="img"
          aria-label="Run-in to the window"
          data-standing={standing}
        >
          <defs>
            <pattern
              id="hatch"
              width="11"
              height="11"
              patternUnits="userSpaceOnUse"
              patternTransform="rotate(45)"
            >
              <path class="hatch" d="M0 0V11" />
            </pattern>
          </defs>
          <Scenery lane={lane.value} step={now} size={size.value} />
          {read.value && (
            <>
              <path class="lane-run" d={run} />
              <SettleMark lane={lane.value} size={size.value} level={level.value} />
              <path class="lane-mark" d={shape} transform={moved} data-drawn={drawn} />
            </>
          )}
        </svg>
      )}
    </div>
  );
}
