import { type Histogram, histogramBins } from '../../contracts/measurement/histogram.ts';
import { count, figure } from '../words.ts';

const width = 256;
const stripHeight = 34;
const labelHeight = 13;
const step = width / histogramBins;
/** What a mark at an end is wide: seen, and no wider than three steps. */
const markWidth = 10;
/** A smaller share is not marked: points of light and dead px are in every frame. Common practice. */
const leastMarked = 0.001;

const channels = ['red', 'green', 'blue'] as const;

const percent = (share: number): string =>
  share === 0 ? '0 %' : share < leastMarked ? 'below 0.1 %' : `${figure(share * 100)} %`;

/**
 * Dark to light, one step after the other, closed along the base. The tallest inner step fills the height: heaps at the two ends
 * would flatten all the rest, and their size stands in words.
 */
function outline(bins: readonly number[]): string {
  const tallest = Math.max(1, ...bins.slice(1, -1));
  const steps = bins.map((px, bin) => {
    const y = stripHeight * (1 - Math.min(1, px / tallest));
    return `L${bin * step} ${y.toFixed(1)}H${(bin + 1) * step}`;
  });
  return `M0 ${stripHeight}${steps.join('')}V${stripHeight}Z`;
}

/** Levels of the whole frame, a strip a channel, with the clipped ends marked and named. */
export function HistogramPlot({ histogram }: { histogram: Histogram }) {
  const px = histogram.red.bins.reduce((a, b) => a + b, 0);
  const strips = channels.map((name) => {
    const { bins, atFloor, atCeiling } = histogram[name];
    return { name, bins, floor: atFloor / Math.max(1, px), ceiling: atCeiling / Math.max(1, px) };
  });
  const clipped = strips.filter(({ ceiling }) => ceiling >= leastMarked).length;
  const pitch = stripHeight + labelHeight;
  return (
    <figure>
      <svg
        class="levels"
        viewBox={`0 0 ${width} ${channels.length * pitch}`}
        role="img"
        aria-label={`Levels of the frame: ${strips
          .map(({ name, ceiling }) => `${name} ${percent(ceiling)} at the ceiling`)
          .join(', ')}`}
        font-size="9.5"
        fill="currentColor"
      >
        {strips.map(({ name, bins, floor, ceiling }, index) => (
          <g key={name} transform={`translate(0 ${index * pitch})`}>
            <text x="0" y="9">
              {name}
            </text>
            {floor >= leastMarked && (
              <text x="40" y="9" fill="var(--quiet)">
                ◂ {percent(floor)} black
              </text>
            )}
            {ceiling >= leastMarked && (
              <text x={width} y="9" text-anchor="end" fill="var(--reject)" font-weight="650">
                {percent(ceiling)} clipped ▸
              </text>
            )}
            <g transform={`translate(0 ${labelHeight})`}>
              <path d={outline(bins)} class={`level-${name}`} />
              {floor >= leastMarked && <rect width="3" height={stripHeight} fill="var(--quiet)" />}
              {ceiling >= leastMarked && (
                <rect
                  x={width - markWidth}
                  width={markWidth}
                  height={stripHeight}
                  fill="var(--reject)"
                  opacity="0.85"
                />
              )}
              <line x2={width} y1={stripHeight} y2={stripHeight} stroke="var(--line)" />
            </g>
          </g>
        ))}
      </svg>
      <figcaption>
        Levels of the whole frame, dark to light, in the file’s own encoding;{' '}
        {clipped === 0 ? 'no channel is clipped.' : `${count(clipped, 'channel')} clipped.`}
      </figcaption>
    </figure>
  );
}
