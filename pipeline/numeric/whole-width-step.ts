/**
 * Finds a step in brightness that runs across the whole width of a picture, straight and parallel to its edge, and behind which the
 * picture goes on unchanged but darker. Wall over pavement or a skirt against a road is a step as well, but not over the whole width,
 * not straight, or with another picture behind it.
 */
import { median } from './statistics.ts';

/** log2 of luminance in cells: `rows` along the direction of the step, the first at the frame's edge; `columns` across. */
export interface BrightnessGrid {
  readonly rows: number;
  readonly columns: number;
  readonly stops: Float64Array;
}

export interface WholeWidthStep {
  /** Rows from the edge to the middle of the step. */
  readonly row: number;
  readonly depthStops: number;
  /** 0..1: how straight the step is, how alike both sides are, and how little they change beside it. */
  readonly continuity: number;
}

/** Rows averaged on each side of a step. */
const windowRows = 4;
/** Half widths of the steps looked for, in rows: the border may be crisp or soft. */
const gaps = [2, 4, 7, 12] as const;
/** Groups of columns whose own position of the step is compared. */
const groups = 12;
/** A step beyond this share of the picture is no strip along its edge. */
const farthestShare = 0.6;
/** Brightness that neighbouring cells of a flat, noisy area differ by, in stops: keeps ratios of spreads finite. */
const noiseStops = 0.03;

/** The best step of at least `leastStops`, darker towards the edge; `null` where there is none. */
export function findWholeWidthStep(grid: BrightnessGrid, leastStops: number): WholeWidthStep | null {
  const profile = medianProfile(grid, 0, grid.columns);
  let best: WholeWidthStep | null = null;
  let groupProfiles: Float64Array[] | null = null;
  for (const gap of gaps) {
    const reach = gap + windowRows;
    let usual: number | null = null;
    for (let row = reach; row <= farthestShare * grid.rows && row + reach <= grid.rows; row++) {
      const depthStops = level(profile, row + gap) - level(profile, row - reach);
      if (depthStops < leastStops) continue;
      usual ??= usualSpread(grid, gap);
      groupProfiles ??= Array.from({ length: groups }, (_, i) => {
        const width = Math.floor(grid.columns / groups);
        return medianProfile(grid, i * width, (i + 1) * width);
      });
      const continuity =
        likeness(grid, row, gap) *
        evenness(grid, row, gap, usual, depthStops) *
        straightness(groupProfiles, row, gap, depthStops) *
        stillness(profile, row, gap, depthStops);
      if (best === null || continuity > best.continuity) best = { row, depthStops, continuity };
    }
  }
  return best === null ? null : settled(profile, best);
}

/**
 * Depth and middle of the step between the levels on either side, taken as far out as the frame's edge allows: a soft border is
 * recognised by its steep middle but is deeper than that.
 */
function settled(profile: Float64Array, { row, depthStops, continuity }: WholeWidthStep): WholeWidthStep {
  const gap = Math.min(gaps[gaps.length - 1]!, row - windowRows, profile.length - row - windowRows);
  const low = level(profile, row - gap - windowRows);
  const high = level(profile, row + gap);
  if (high - low <= depthStops) return { row, depthStops, continuity };
  let middle = row - gap;
  while (middle < row + gap && profile[middle]! < (low + high) / 2) middle++;
  return { row: middle, depthStops: high - low, continuity };
}

/** Running sum of the median change from row to row: how the picture as a whole gets brighter, whatever stands in it. */
function medianProfile(grid: BrightnessGrid, from: number, to: number): Float64Array {
  const profile = new Float64Array(grid.rows);
  const change = new Float64Array(to - from);
  for (let row = 1; row < grid.rows; row++) {
    for (let column = from; column < to; column++) {
      change[column - from] = at(grid, row, column) - at(grid, row - 1, column);
    }
    profile[row] = profile[row - 1]! + median(change);
  }
  return profile;
}

/** Mean of the profile over the window that begins at `row`. */
function level(profile: Float64Array, row: number): number {
  let sum = 0;
  for (let i = 0; i < windowRows; i++) sum += profile[row + i]!;
  return sum / windowRows;
}

/** Each column's mean over the window that begins at `row`. */
function columnLevels(grid: BrightnessGrid, row: number): Float64Array {
  return Float64Array.from({ length: grid.columns }, (_, column) => {
    let sum = 0;
    for (let i = 0; i < windowRows; i++) sum += at(grid, row + i, column);
    return sum / windowRows;
  });
}

function columnSteps(grid: BrightnessGrid, row: number, gap: number): Float64Array {
  const outer = columnLevels(grid, row - gap - windowRows);
  return columnLevels(grid, row + gap).map((inner, column) => inner - outer[column]!);
}

function spread(values: Float64Array): number {
  const centre = median(values);
  return noiseStops + median(values.map((value) => Math.abs(value - centre)));
}

/** How much the columns' steps differ at any place of this picture, over the same distance. */
function usualSpread(grid: BrightnessGrid, gap: number): number {
  const spreads: number[] = [];
  for (let row = gap + windowRows; row + gap + windowRows <= grid.rows; row += windowRows) {
    spreads.push(spread(columnSteps(grid, row, gap)));
  }
  return median(spreads);
}

/** Correlation of what is seen on either side of the step, across the width; negative ones count as none. */
function likeness(grid: BrightnessGrid, row: number, gap: number): number {
  const outer = columnLevels(grid, row - gap - windowRows);
  const inner = columnLevels(grid, row + gap);
  const meanOf = (values: Float64Array) => values.reduce((sum, value) => sum + value, 0) / values.length;
  const [outerMean, innerMean] = [meanOf(outer), meanOf(inner)];
  let [oo, ii, oi] = [0, 0, 0];
  for (let column = 0; column < outer.length; column++) {
    const o = outer[column]! - outerMean;
    const i = inner[column]! - innerMean;
    oo += o * o;
    ii += i * i;
    oi += o * i;
  }
  /** A picture without anything in it is as alike as can be told. */
  const blank = outer.length * noiseStops ** 2;
  return oo < blank && ii < blank ? 1 : Math.max(0, oi / Math.sqrt((oo + blank) * (ii + blank)));
}

/** Whether all columns take the same step: no less evenly than the picture changes elsewhere, and evenly against the step itself. */
function evenness(grid: BrightnessGrid, row: number, gap: number, usual: number, depthStops: number): number {
  const here = spread(columnSteps(grid, row, gap));
  /** A third more than usual is within the scatter of this statistic; four spreads make a step plain. */
  return Math.min(1, (1.3 * usual) / here) * Math.min(1, depthStops / (4 * here));
}

/** Share of the groups of columns whose step has its middle in the same row. */
function straightness(
  profiles: readonly Float64Array[],
  row: number,
  gap: number,
  depthStops: number,
): number {
  const middles = profiles.map((profile) => {
    const low = level(profile, row - gap - windowRows);
    const high = level(profile, row + gap);
    if (high - low < 0.4 * depthStops) return Number.POSITIVE_INFINITY;
    let middle = row - gap;
    while (middle < row + gap && profile[middle]! < (low + high) / 2) middle++;
    return middle;
  });
  const common = median(middles);
  if (!Number.isFinite(common)) return 0;
  const tolerance = Math.max(1, gap / 4);
  return middles.filter((middle) => Math.abs(middle - common) <= tolerance).length / middles.length;
}

/** Near 1 where brightness keeps still just outside the step: a gradient of the sky or of the lens does not. */
function stillness(profile: Float64Array, row: number, gap: number, depthStops: number): number {
  const reach = 3 * gap + windowRows;
  const beyond = profile[Math.min(profile.length - 1, row + reach)]! - level(profile, row + gap);
  const before = level(profile, row - gap - windowRows) - profile[Math.max(0, row - reach)]!;
  return Math.exp(-0.5 * ((Math.abs(beyond) + Math.abs(before)) / depthStops) ** 2);
}

function at(grid: BrightnessGrid, row: number, column: number): number {
  return grid.stops[row * grid.columns + column]!;
}
