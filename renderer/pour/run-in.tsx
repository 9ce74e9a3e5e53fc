import { useComputed, useSignal } from '@preact/signals';
import { useEffect, useRef } from 'preact/hooks';
import { along, type LaneStep, laneOf, ticksOf } from '../figures/lane.ts';
import { solid, standing, step, toGo } from '../state/bench.ts';

/** Heights of the drawing in its own units, one to a pixel: gate above, run and mark, tick line, labels. */
const HEIGHT = 160;
const BASE = 116;
const RUN = 76;
const GATE_TOP = 30;
const GATE_FOOT = 132;
const EDGE = 26;

const MARKS = {
  approach: 'M27 0C14 -19 -21 -22 -21 0C-21 22 14 19 27 0Z',
  inside: 'M0 -20A20 20 0 1 1 0 20A20 20 0 1 1 0 -20Z',
  over: 'M0 -25L25 0L0 25L-25 0Z',
  none: 'M27 0C14 -19 -21 -22 -21 0C-21 22 14 19 27 0Z',
} as const;

function stepOf(): LaneStep | null {
  const now = step.value;
  if (now === null) return null;
  return { target: Number(now.target), low: Number(now.low), high: Number(now.high), drop: Number(now.drop) };
}

/** Follows the width of an element. */
function useWidth() {
  const element = useRef<HTMLDivElement>(null);
  const width = useSignal(840);
  useEffect(() => {
    const watched = element.current;
    if (watched === null) return undefined;
    const watcher = new ResizeObserver(([entry]) => {
      if (entry !== undefined) width.value = Math.max(320, Math.round(entry.contentRect.width));
    });
    watcher.observe(watched);
    return () => watcher.disconnect();
  }, [width]);
  return { element, width };
}

interface SceneryProps {
  readonly lane: ReturnType<typeof laneOf>;
  readonly step: LaneStep;
  readonly width: number;
}

function Scenery({ lane, step: now, width }: SceneryProps) {
  const room = width - 2 * EDGE;
  const x = (r: number) => EDGE + room * along(lane, r);
  const from = x(now.target - now.low);
  const to = x(now.target - now.high);
  const labelled = ticksOf(lane, now, 62 / room);
  return (
    <>
      <rect
        class="lane-window"
        x={from}
        y={GATE_TOP}
        width={Math.max(0, to - from)}
        height={BASE - GATE_TOP}
      />
      <rect
        class="lane-over"
        x={to}
        y={GATE_TOP + 14}
        width={width - EDGE - to}
        height={BASE - GATE_TOP - 14}
      />
      <path class="lane-base" d={`M${EDGE} ${BASE}H${width - EDGE}`} />
      {labelled.map((tick) => (
        <g key={tick.label} class="lane-tick">
          <path d={`M${x(tick.toGo)} ${BASE}v11`} />
          <text x={x(tick.toGo)} y={HEIGHT - 10}>
            {tick.label}
          </text>
        </g>
      ))}
      <path
        class="lane-gate"
        d={`M${from + 11} ${GATE_TOP}H${from}V${GATE_FOOT}H${from + 11}M${to - 11} ${GATE_TOP}H${to}V${GATE_FOOT}H${to - 11}`}
      />
      <text class="lane-word" x={(from + to) / 2} y={GATE_TOP - 11}>
        window
      </text>
      <text class="lane-end" x={width - EDGE} y={HEIGHT - 10}>
        over
      </text>
    </>
  );
}

/**
 * The run-in: a lane that is logarithmic in the mass still to go, ending in a gate as wide as the window.
 * Scenery is drawn once a step; a reading moves the mark and the run only.
 */
export function RunIn() {
  const { element, width } = useWidth();
  const still = useComputed(stepOf);
  const beyond = useComputed(() => {
    const now = still.value;
    const excess = -Number(toGo.value ?? '0');
    return now === null || excess <= now.high - now.target ? 0 : 10 ** Math.ceil(Math.log10(excess));
  });
  const lane = useComputed(() => (still.value === null ? null : laneOf(still.value, beyond.value)));
  const here = useComputed(() =>
    lane.value === null
      ? EDGE
      : EDGE + (width.value - 2 * EDGE) * along(lane.value, Number(toGo.value ?? still.value?.target ?? 0)),
  );
  const run = useComputed(() => `M${EDGE - 3} ${RUN}H${Math.max(EDGE - 3, here.value - 21).toFixed(1)}`);
  const moved = useComputed(() => `translate(${here.value.toFixed(1)} ${RUN})`);
  const shape = useComputed(() => MARKS[standing.value]);
  const drawn = useComputed(() => (solid.value ? 'solid' : 'hollow'));
  const now = still.value;
  const drawnLane = lane.value;
  return (
    <div class="run-in" ref={element}>
      {now !== null && drawnLane !== null && (
        <svg
          width={width}
          height={HEIGHT}
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
          <Scenery lane={drawnLane} step={now} width={width.value} />
          <path class="lane-run" d={run} />
          <path class="lane-mark" d={shape} transform={moved} data-drawn={drawn} />
        </svg>
      )}
    </div>
  );
}
