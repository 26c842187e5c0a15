/** Where to look for a subject's face: squares in px of the frame, most likely first. */
import type { Subject } from '../../contracts/measurement/people.ts';
import type { PxRectangle } from '../../numeric/resample.ts';

/** Body points below are guesses: the networks' publisher recommends 0.3 as "confident"; half of it still points to the head. */
const minPointScore = 0.15;
/** Side of the square in distances from the head to the middle of the shoulders; the face then fills about a quarter of it. */
const squarePerNeck = 3;
/** A standing adult is 7 to 8 heads tall (common practice in figure drawing); four heads wide leaves room for a bowed one. */
const squarePerBoxHeight = 0.45;

const headPoints = ['nose', 'left-eye', 'right-eye', 'left-ear', 'right-ear'];

function squareAround(x: number, y: number, side: number): PxRectangle {
  return { x: x - side / 2, y: y - side / 2, width: side, height: side };
}

function fromBodyPoints(subject: Subject, width: number, height: number): PxRectangle | null {
  const sure = subject.keypoints.filter((point) => point.score >= minPointScore);
  const mean = (names: readonly string[]) => {
    const found = sure.filter((point) => names.includes(point.name));
    if (found.length === 0) return null;
    const sum = (axis: 0 | 1): number =>
      found.reduce((total, point) => total + point.at[axis], 0) / found.length;
    return [sum(0) * width, sum(1) * height] as const;
  };
  const head = mean(headPoints);
  const shoulders = mean(['left-shoulder', 'right-shoulder']);
  if (head === null || shoulders === null) return null;
  const side = squarePerNeck * Math.hypot(head[0] - shoulders[0], head[1] - shoulders[1]);
  // Points that fell together say nothing; a head is at least a fiftieth of the person's box.
  return side < 0.06 * subject.box[3] * height ? null : squareAround(head[0], head[1], side);
}

export function headSquares(subject: Subject, width: number, height: number): readonly PxRectangle[] {
  const [left, top, boxWidth, boxHeight] = subject.box;
  const squares: PxRectangle[] = [];
  const byPoints = fromBodyPoints(subject, width, height);
  if (byPoints !== null) squares.push(byPoints);
  const tall = squarePerBoxHeight * boxHeight * height;
  const wide = boxWidth * width;
  for (const side of [Math.min(tall, wide), Math.max(tall, wide)]) {
    squares.push(squareAround((left + boxWidth / 2) * width, top * height + 0.4 * side, side));
  }
  return squares;
}
