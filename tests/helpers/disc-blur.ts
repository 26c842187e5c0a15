import type { Rgb8 } from '../../pipeline/contracts/frame-image.ts';

/** Part of a picture, px; `right` and `bottom` are the first outside. */
export interface Area {
  readonly left: number;
  readonly top: number;
  readonly right: number;
  readonly bottom: number;
}

export interface Tap {
  readonly dx: number;
  readonly dy: number;
  readonly weight: number;
}

/** A uniform disc as px weights: the share of each px that it covers, by 16 x 16 points. */
function discTaps(radiusPx: number): readonly Tap[] {
  const reach = Math.ceil(radiusPx) + 1;
  const points = Array.from({ length: 16 }, (_, i) => (i + 0.5) / 16 - 0.5);
  const taps: Tap[] = [];
  for (let dy = -reach; dy <= reach; dy++) {
    for (let dx = -reach; dx <= reach; dx++) {
      const covered = points.flatMap((a) => points.filter((b) => Math.hypot(dx + a, dy + b) <= radiusPx));
      if (covered.length > 0) taps.push({ dx, dy, weight: covered.length });
    }
  }
  const total = taps.reduce((sum, { weight }) => sum + weight, 0);
  return taps.map((tap) => ({ ...tap, weight: tap.weight / total }));
}

/** Interleaved samples with one area convolved by the taps, rounded; the border px go on beyond the border. */
export function convolved(
  data: Uint8Array,
  { width, height, channels }: { readonly width: number; readonly height: number; readonly channels: number },
  area: Area,
  taps: readonly Tap[],
): Uint8Array {
  const blurred = new Uint8Array(data);
  const clamp = (value: number, size: number): number => Math.min(size - 1, Math.max(0, value));
  for (let y = clamp(area.top, height); y < Math.min(height, area.bottom); y++) {
    for (let x = clamp(area.left, width); x < Math.min(width, area.right); x++) {
      for (let channel = 0; channel < channels; channel++) {
        let sum = 0;
        for (const { dx, dy, weight } of taps) {
          sum += weight * data[channels * (clamp(y + dy, height) * width + clamp(x + dx, width)) + channel]!;
        }
        blurred[channels * (y * width + x) + channel] = Math.round(sum);
      }
    }
  }
  return blurred;
}

/** The picture with one area out of focus by a disc of this radius, in its encoded values; the rest is untouched. */
export function defocused({ width, height, data }: Rgb8, area: Area, radiusPx: number): Rgb8 {
  const blurred = convolved(data, { width, height, channels: 3 }, area, discTaps(radiusPx));
  return { width, height, data: blurred };
}

/** A plane of luma all behind a disc of this radius. */
export function discBlurred(luma: Uint8Array, width: number, height: number, radiusPx: number): Uint8Array {
  const all = { left: 0, top: 0, right: width, bottom: height };
  return convolved(luma, { width, height, channels: 1 }, all, discTaps(radiusPx));
}
