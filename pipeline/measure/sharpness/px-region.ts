import type { Box } from '../../contracts/box.ts';
import type { Mask } from '../../contracts/frame-image.ts';

/** A rectangle in native px; `right` and `bottom` are the first px outside. */
export interface PxRect {
  readonly left: number;
  readonly top: number;
  readonly right: number;
  readonly bottom: number;
}

/** A rectangle and which of its px belong. */
export interface PxRegion {
  readonly rect: PxRect;
  contains(x: number, y: number): boolean;
}

interface Size {
  readonly width: number;
  readonly height: number;
}

/** Px centres are whole numbers: px 0 reaches from -0.5 to 0.5. */
export function holds(region: PxRegion, x: number, y: number): boolean {
  const { left, top, right, bottom } = region.rect;
  return x >= left - 0.5 && x < right - 0.5 && y >= top - 0.5 && y < bottom - 0.5 && region.contains(x, y);
}

/** The box in px, clipped to the picture. */
export function rectOfBox(box: Box, size: Size): PxRect {
  const [x, y, width, height] = box;
  return {
    left: Math.max(0, Math.round(x * size.width)),
    top: Math.max(0, Math.round(y * size.height)),
    right: Math.min(size.width, Math.round((x + width) * size.width)),
    bottom: Math.min(size.height, Math.round((y + height) * size.height)),
  };
}

export function areaPx(rect: PxRect): number {
  return Math.max(0, rect.right - rect.left) * Math.max(0, rect.bottom - rect.top);
}

export function regionOfRect(rect: PxRect): PxRegion {
  return { rect, contains: () => true };
}

/** Coverage from which on a px of a mask (0..255) is inside: half. */
const inside = 128;

/** The px a mask covers at least half, with the smallest rectangle round them; `null` where there are none. */
export function regionOfMask(mask: Mask, size: Size): PxRegion | null {
  const { data, width } = mask;
  let left = width;
  let right = -1;
  let top = mask.height;
  let bottom = -1;
  for (let y = 0; y < mask.height; y++) {
    const row = y * width;
    let first = 0;
    while (first < width && data[row + first]! < inside) first++;
    if (first === width) continue;
    let last = width - 1;
    while (data[row + last]! < inside) last--;
    left = Math.min(left, first);
    right = Math.max(right, last);
    top = Math.min(top, y);
    bottom = y;
  }
  if (right < 0) return null;
  const scaleX = size.width / mask.width;
  const scaleY = size.height / mask.height;
  return {
    rect: {
      left: Math.floor(left * scaleX),
      top: Math.floor(top * scaleY),
      right: Math.min(size.width, Math.ceil((right + 1) * scaleX)),
      bottom: Math.min(size.height, Math.ceil((bottom + 1) * scaleY)),
    },
    contains: (x, y) => {
      const mx = Math.min(mask.width - 1, Math.max(0, Math.floor((x + 0.5) / scaleX)));
      const my = Math.min(mask.height - 1, Math.max(0, Math.floor((y + 0.5) / scaleY)));
      return mask.data[my * mask.width + mx]! >= inside;
    },
  };
}
