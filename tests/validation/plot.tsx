/** A sweep drawn: what was measured over what is true, and the error over what is true, both with their limits. */
import { type Axis, axisOver } from './axis.ts';
import { allowanceUsed, holds, type Sweep, type SweepPoint, worstOf } from './sweep.ts';
import { plain } from './words.ts';

const width = 360;
const height = 280;
const edge = { left: 62, right: 12, top: 30, bottom: 46 };
const mostTicks = 6;

/** A point as it stands in one panel. */
interface Mark {
  readonly point: SweepPoint;
  readonly x: number;
  /** `null` where nothing was measured. */
  readonly y: number | null;
  readonly truth: number;
  readonly low: number;
  readonly high: number;
}

/** Limits that differ at one place are drawn as the tightest. */
function tightest(marks: readonly Mark[]): readonly Mark[] {
  const byX = new Map<number, Mark>();
  for (const mark of marks) {
    const known = byX.get(mark.x) ?? mark;
    byX.set(mark.x, {
      ...mark,
      low: Math.max(known.low, mark.low),
      high: Math.min(known.high, mark.high),
    });
  }
  return [...byX.values()].sort((a, b) => a.x - b.x);
}

/** The limits as two lines with the allowed part between them. */
function Allowed({ marks, across, up }: { marks: readonly Mark[]; across: Axis; up: Axis }) {
  const places = tightest(marks);
  const line = (of: 'low' | 'high') =>
    places.map((mark) => `${across.at(mark.x).toFixed(1)},${up.at(mark[of]).toFixed(1)}`);
  const [low, high] = [line('low'), line('high')];
  return (
    <>
      <polygon class="allowed" points={[...low, ...high.toReversed()].join(' ')} />
      <polyline class="limit" points={low.join(' ')} />
      <polyline class="limit" points={high.join(' ')} />
    </>
  );
}

/** Points within the limits are dots, in one path since there are many; those outside are crosses that say what they are. */
function Points({
  marks,
  worst,
  across,
  up,
}: {
  marks: readonly Mark[];
  worst: SweepPoint;
  across: Axis;
  up: Axis;
}) {
  const place = ({ x, y }: Mark) =>
    [across.at(x), y === null ? height - edge.bottom : up.at(y)].map((px) => px.toFixed(1)).join(' ');
  const dots = marks.filter(({ point }) => holds(point)).map((mark) => `M${place(mark)}h0`);
  const ringed = marks.find(({ point }) => point === worst)!;
  const [cx, cy] = place(ringed).split(' ');
  return (
    <>
      <path class="dots" d={dots.join('')} />
      {marks
        .filter(({ point }) => !holds(point))
        .map((mark, index) => (
          <path class="outside" key={index} d={`M${place(mark)}m-4-4l8 8m0-8l-8 8`}>
            <title>{`${mark.point.condition}: true ${mark.point.truth}, measured ${mark.point.measured ?? 'none'}`}</title>
          </path>
        ))}
      {allowanceUsed(worst) > 0 && <circle class="worst" cx={cx} cy={cy} r="7" />}
    </>
  );
}

function Panel(panel: {
  marks: readonly Mark[];
  worst: SweepPoint;
  label: string;
  xName: string;
  /** Given the power of ten that its ticks are told in. */
  yName: (power: number) => string;
  /** Whether the places along the x axis are values with ticks. */
  ticked: boolean;
}) {
  const { marks } = panel;
  const [leftPx, rightPx, bottomPx] = [edge.left, width - edge.right, height - edge.bottom];
  const across = axisOver(
    marks.map(({ x }) => x),
    leftPx,
    rightPx,
    mostTicks,
  );
  const up = axisOver(
    marks.flatMap(({ y, truth, low, high }) => [y ?? truth, truth, low, high]),
    bottomPx,
    edge.top,
    mostTicks,
  );
  return (
    <svg viewBox={`0 0 ${width} ${height}`} role="img" aria-label={panel.label}>
      {up.ticks.map((tick) => (
        <g key={tick}>
          <line class="grid" x1={leftPx} x2={rightPx} y1={up.at(tick)} y2={up.at(tick)} />
          <text x={leftPx - 6} y={up.at(tick) + 4} text-anchor="end">
            {plain(tick / 10 ** up.power)}
          </text>
        </g>
      ))}
      {panel.ticked &&
        across.ticks.map((tick) => (
          <g key={tick}>
            <line class="grid" x1={across.at(tick)} x2={across.at(tick)} y1={edge.top} y2={bottomPx} />
            <text x={across.at(tick)} y={bottomPx + 16} text-anchor="middle">
              {plain(tick)}
            </text>
          </g>
        ))}
      <Allowed marks={marks} across={across} up={up} />
      <Truth marks={marks} across={across} up={up} />
      <Points marks={marks} worst={panel.worst} across={across} up={up} />
      <path class="axes" d={`M${leftPx} ${edge.top}V${bottomPx}H${rightPx}`} />
      <text x={(leftPx + rightPx) / 2} y={height - 8} text-anchor="middle">
        {panel.xName}
      </text>
      <text x={4} y={14}>
        {panel.yName(up.power)}
      </text>
    </svg>
  );
}

/** The truth of every place, as a line. */
function Truth({ marks, across, up }: { marks: readonly Mark[]; across: Axis; up: Axis }) {
  const places = [...marks].sort((a, b) => a.x - b.x);
  const line = places.map(({ x, truth }) => `${across.at(x).toFixed(1)},${up.at(truth).toFixed(1)}`);
  return <polyline class="truth" points={line.join(' ')} />;
}

/**
 * Measured over true, and the error over true. Only the first, over something else, where the sweep says so, and over the order of
 * measuring where one and the same truth was measured several times.
 */
export function Plot({ sweep }: { sweep: Sweep }) {
  const { points, quantity, unit, over } = sweep;
  const named = (what: string) => (unit === '' ? what : `${what}, ${unit}`);
  const namedTimes = (what: string) => (power: number) =>
    power === 0 ? named(what) : `${named(what)} × ${(10 ** -power).toLocaleString('en')}`;
  const oneTruth = points.every(({ truth }) => truth === points[0]!.truth);
  const overTruth = over === undefined && !oneTruth;
  const marks = points.map((point, index): Mark => {
    const { truth, measured, low, high, at } = point;
    const x = at ?? (overTruth ? truth : index + 1);
    return { point, x, y: measured, truth, low, high };
  });
  const errors = marks.map((mark): Mark => {
    const { truth, low, high, y } = mark;
    return { ...mark, y: y === null ? null : y - truth, truth: 0, low: low - truth, high: high - truth };
  });
  const shared = {
    worst: worstOf(sweep),
    xName: over ?? (oneTruth ? 'measurements, one after the other' : named('true')),
    ticked: over !== undefined || overTruth,
  };
  return (
    <div class="panels">
      <Panel {...shared} marks={marks} label={`${quantity}: measured`} yName={namedTimes('measured')} />
      {overTruth && (
        <Panel
          {...shared}
          marks={errors}
          label={`${quantity}: error`}
          yName={namedTimes('measured minus true')}
        />
      )}
    </div>
  );
}
