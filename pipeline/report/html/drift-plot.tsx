import { type Drift, driftCoverageFactor } from '../../contracts/results.ts';
import { figure } from '../words.ts';

const width = 640;
const rowHeight = 22;
/** About as wide as a letter at the plot's font size, px. */
const letterPx = 6.8;
const right = 20;
const top = 34;

/** A round number a little above the given one: 1, 2 or 5 times a power of ten. */
function roundUp(value: number): number {
  const power = 10 ** Math.floor(Math.log10(value));
  const step = [1, 2, 5, 10].find((factor) => factor * power >= value) ?? 10;
  return step * power;
}

/** Only the end of a long frame id is telling. */
function shortName(id: string): string {
  const name = id.split('/').at(-1) ?? id;
  return name.length > 24 ? `…${name.slice(-23)}` : name;
}

/**
 * The set's colour drift: one row a frame, its departure from the set's reference in mired with twice its standard
 * uncertainty, and the limit where one was exceeded.
 */
export function DriftPlot({ drift, limitMired }: { drift: Drift; limitMired: number | null }) {
  const reach = roundUp(
    Math.max(
      5,
      limitMired ?? 0,
      ...drift.frames.map(({ mired, sigmaMired }) => Math.abs(mired) + driftCoverageFactor * sigmaMired),
    ),
  );
  const left = 20 + letterPx * Math.max(...drift.frames.map(({ frame }) => shortName(frame).length));
  const height = top + drift.frames.length * rowHeight + 34;
  const bottom = height - 34;
  const x = (mired: number): number => left + ((mired + reach) / (2 * reach)) * (width - left - right);
  const ticks = [-reach, -reach / 2, 0, reach / 2, reach];
  return (
    <svg
      class="plot"
      viewBox={`0 0 ${width} ${height}`}
      role="img"
      aria-label="Colour drift of each frame from the reference of its set, in mired"
      font-size="12"
      fill="currentColor"
    >
      {limitMired !== null &&
        [-limitMired, limitMired].map((at) => (
          <line
            key={at}
            x1={x(at)}
            x2={x(at)}
            y1={top - 6}
            y2={bottom}
            stroke="var(--reject)"
            stroke-dasharray="5 3"
          />
        ))}
      {limitMired !== null && (
        <text x={x(limitMired)} y={top - 12} text-anchor="middle" fill="var(--reject)">
          limit
        </text>
      )}
      <line x1={x(0)} x2={x(0)} y1={top - 6} y2={bottom} stroke="currentColor" />
      {drift.frames.map(({ frame, mired, sigmaMired }, index) => {
        const y = top + (index + 0.5) * rowHeight;
        const beyond = limitMired !== null && Math.abs(mired) > limitMired + driftCoverageFactor * sigmaMired;
        const colour = beyond ? 'var(--reject)' : 'var(--link)';
        return (
          <g key={frame}>
            <text x={left - 12} y={y + 4} text-anchor="end">
              {shortName(frame)}
            </text>
            <line
              x1={x(mired - driftCoverageFactor * sigmaMired)}
              x2={x(mired + driftCoverageFactor * sigmaMired)}
              y1={y}
              y2={y}
              stroke={colour}
              stroke-width="2"
            />
            <circle cx={x(mired)} cy={y} r="4" fill={colour} />
          </g>
        );
      })}
      <line x1={left} x2={width - right} y1={bottom} y2={bottom} stroke="var(--line)" />
      {ticks.map((tick) => (
        <text key={tick} x={x(tick)} y={bottom + 16} text-anchor="middle">
          {tick > 0 ? '+' : ''}
          {figure(tick)}
        </text>
      ))}
      <text x={(left + width - right) / 2} y={height - 4} text-anchor="middle" fill="var(--quiet)">
        cooler ← drift in mired → warmer
      </text>
    </svg>
  );
}
