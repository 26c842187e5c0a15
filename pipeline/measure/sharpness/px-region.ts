import type { Box } from '../../contracts/box.ts';
import type { Mask } from '../../contracts/frame-image.ts';

/** A rectangle in native px; `right` and `bottom` are the first px outside. */
export interface PxRect {
  readonly left: number;
  readonly top: number;
  readonly right: number;
  readonly bottom: number;
}

interface Size {
  readonly width: number;
  readonly height: number;
}

/** Px of a picture. Asked for every edge point, so its implementations are classes: see DEVELOPERS.md, "Hot closures". */
export interface PxSet {
  /** Px centres are whole numbers: px 0 reaches from -0.5 to 0.5. */
  holds(x: number, y: number): boolean;
}

/** A mask that spans the picture, and how many native px a px of it is wide and high. */
interface Cover {
  readonly mask: Mask;
  readonly scaleX: number;
  readonly scaleY: number;
}

/** A rectangle, or those of its px that a mask covers. */
export class PxRegion implements PxSet {
  readonly rect: PxRect;
  private readonly cover: Cover | null;

  constructor(rect: PxRect, cover: Cover | null) {
    this.rect = rect;
    this.cover = cover;
  }

  holds(x: number, y: number): boolean {
    const { left, top, right, bottom } = this.rect;
    if (!(x >= left - 0.5 && x < right - 0.5 && y >= top - 0.5 && y < bottom - 0.5)) return false;
    return this.cover === null || covers(this.cover, x, y);
  }

  /** The px of the region in a smaller rectangle. */
  within(rect: PxRect): PxRegion {
    return new PxRegion(rect, this.cover);
  }
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
  return new PxRegion(rect, null);
}

/** Coverage from which on a px of a mask (0..255) is inside: half. */
const inside = 128;

function covers({ mask, scaleX, scaleY }: Cover, x: number, y: number): boolean {
  const mx = Math.min(mask.width - 1, Math.max(0, Math.floor((x + 0.5) / scaleX)));
  const my = Math.min(mask.height - 1, Math.max(0, Math.floor((y + 0.5) / scaleY)));
  return mask.data[my * mask.width + mx]! >= inside;
}

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
  const rect: PxRect = {
    left: Math.floor(left * scaleX),
    top: Math.floor(top * scaleY),
    right: Math.min(size.width, Math.ceil((right + 1) * scaleX)),
    bottom: Math.min(size.height, Math.ceil((bottom + 1) * scaleY)),
  };
  return new PxRegion(rect, { mask, scaleX, scaleY });
}
