import { type Day, planMin } from '../../contracts/day.ts';
import { wallClockMs } from '../../contracts/wall-clock.ts';
import { count } from '../words.ts';

const width = 900;
const left = 150;
const right = 16;
const rowHeight = 24;
const top = 30;
const hourMs = 3_600_000;

const shown = (name: string): string => (name.length > 20 ? `${name.slice(0, 19)}…` : name);
const at = (text: string): number => wallClockMs(text) ?? 0;

/** Hours between ticks, so that at most a dozen stand side by side. */
function tickHours(spanMs: number): number {
  return [0.25, 0.5, 1, 2, 3, 6, 12, 24].find((hours) => spanMs / (hours * hourMs) <= 12) ?? 48;
}

/**
 * The day: one row a garment, a mark for each frame above the line for the first body, below for the second, and further
 * down for any other; behind it the time the plan allows from the first frame on.
 */
export function TimeLine({ day }: { day: Day }) {
  const { garments } = day;
  const from = Math.min(...garments.map((garment) => at(garment.from)));
  const to = Math.max(
    ...garments.map((garment) => Math.max(at(garment.to), at(garment.from) + planMin * 60_000)),
  );
  const x = (ms: number): number => left + ((ms - from) / (to - from)) * (width - left - right);
  const stepMs = tickHours(to - from) * hourMs;
  const ticks: number[] = [];
  for (let tick = Math.ceil(from / stepMs) * stepMs; tick <= to; tick += stepMs) ticks.push(tick);
  const height = top + garments.length * rowHeight + 8;
  const bodyIndex = new Map(day.bodies.map(({ id }, index) => [id, index]));
  return (
    <svg
      class="plot wide"
      viewBox={`0 0 ${width} ${height}`}
      role="img"
      aria-label="When each garment was shot; the table below has the same as numbers"
      font-size="12"
      fill="currentColor"
    >
      {ticks.map((tick) => (
        <g key={tick}>
          <line x1={x(tick)} x2={x(tick)} y1={top - 8} y2={height} stroke="var(--line)" />
          <text x={x(tick)} y={top - 14} text-anchor="middle">
            {new Date(tick).toISOString().slice(11, 16)}
          </text>
        </g>
      ))}
      {garments.map((garment, index) => {
        const y = top + (index + 0.5) * rowHeight;
        const start = at(garment.from);
        const end = start + planMin * 60_000;
        return (
          <g key={garment.garment}>
            <title>{`${garment.garment}: ${garment.from.slice(11, 16)} to ${garment.to.slice(11, 16)}, ${count(garment.frames, 'frame')}`}</title>
            <text x={left - 8} y={y + 4} text-anchor="end">
              {shown(garment.garment)}
            </text>
            <rect
              x={x(start)}
              y={y - 9}
              width={x(end) - x(start)}
              height="18"
              fill="var(--line)"
              opacity="0.5"
            />
            <line x1={x(start)} x2={x(at(garment.to))} y1={y} y2={y} stroke="currentColor" stroke-width="2" />
            {garment.shots.map(({ frame, at: time, body }) => {
              const below = bodyIndex.get(body) ?? 0;
              return (
                <line
                  key={frame}
                  x1={x(at(time))}
                  x2={x(at(time))}
                  y1={below === 0 ? y - 8 : y}
                  y2={below === 0 ? y : y + 5 + 3 * below}
                  stroke={below === 0 ? 'var(--link)' : 'var(--cleanup)'}
                  stroke-width="1.6"
                />
              );
            })}
          </g>
        );
      })}
    </svg>
  );
}
