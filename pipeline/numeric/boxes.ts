/** Plain geometry of axis-aligned boxes `[x, y, width, height]`; any unit, as long as both boxes share it. */
export type BoxTuple = readonly [number, number, number, number];

/** A box given in shares of a picture, in its px. */
export const boxInPx = (box: BoxTuple, { width, height }: { width: number; height: number }): BoxTuple => [
  box[0] * width,
  box[1] * height,
  box[2] * width,
  box[3] * height,
];

/** Area, never negative. */
export const boxArea = (box: BoxTuple): number => Math.max(0, box[2]) * Math.max(0, box[3]);

/** Area that both boxes cover; 0 where they only touch. */
export function intersectionArea(a: BoxTuple, b: BoxTuple): number {
  const width = Math.min(a[0] + a[2], b[0] + b[2]) - Math.max(a[0], b[0]);
  const height = Math.min(a[1] + a[3], b[1] + b[3]) - Math.max(a[1], b[1]);
  return Math.max(0, width) * Math.max(0, height);
}

/**
 * Intersection over union (Jaccard index), 0..1; 0 where both boxes are empty.
 * Everingham et al., "The PASCAL Visual Object Classes Challenge", IJCV 2010, section 4.2.
 */
export function intersectionOverUnion(a: BoxTuple, b: BoxTuple): number {
  const shared = intersectionArea(a, b);
  const union = boxArea(a) + boxArea(b) - shared;
  return union > 0 ? Math.min(1, shared / union) : 0;
}

/** Share of `inner` that lies inside `outer`, 0..1; 0 where `inner` is empty. */
export function shareInside(inner: BoxTuple, outer: BoxTuple): number {
  const area = boxArea(inner);
  return area > 0 ? Math.min(1, intersectionArea(inner, outer) / area) : 0;
}

/** The smallest box around both. */
export function unionBox(a: BoxTuple, b: BoxTuple): BoxTuple {
  const x = Math.min(a[0], b[0]);
  const y = Math.min(a[1], b[1]);
  return [x, y, Math.max(a[0] + a[2], b[0] + b[2]) - x, Math.max(a[1] + a[3], b[1] + b[3]) - y];
}

/** The part of the box inside `[0, 0, width, height]`; of size 0 where there is none. */
export function clipBox(box: BoxTuple, width: number, height: number): BoxTuple {
  const x0 = Math.min(Math.max(box[0], 0), width);
  const y0 = Math.min(Math.max(box[1], 0), height);
  const x1 = Math.min(Math.max(box[0] + box[2], 0), width);
  const y1 = Math.min(Math.max(box[1] + box[3], 0), height);
  return [x0, y0, Math.max(0, x1 - x0), Math.max(0, y1 - y0)];
}

/** The box grown by `share` of its own width and height on each side. */
export const growBox = (box: BoxTuple, share: number): BoxTuple => [
  box[0] - box[2] * share,
  box[1] - box[3] * share,
  box[2] * (1 + 2 * share),
  box[3] * (1 + 2 * share),
];
