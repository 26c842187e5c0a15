import sharp from 'sharp';

/** What a retoucher does, roughly: takes somebody out of a frame and lets the surroundings flow in. */

/** Filled in at this fraction of the size: surroundings that flow in have no detail anyway. */
const reduction = 8;
/** Enough for the surroundings to reach the middle of the hole. */
const rounds = 600;
/** How far beyond the mask is painted, px of the reduced picture: hair and the shadow's rim. */
const beyond = 3;

/** Places of the neighbours of a px that lie inside the picture. */
function neighbours(at: number, width: number, height: number): readonly number[] {
  const [x, y] = [at % width, Math.floor(at / width)];
  const around = [
    x > 0 && at - 1,
    x < width - 1 && at + 1,
    y > 0 && at - width,
    y < height - 1 && at + width,
  ];
  return around.filter((one) => one !== false);
}

function widened(hole: Uint8Array, width: number, height: number): Uint8Array {
  let wide = hole;
  for (let step = 0; step < beyond; step++) {
    const before = wide;
    wide = before.map((inside, at) =>
      inside === 1 || neighbours(at, width, height).some((one) => before[one] === 1) ? 1 : 0,
    );
  }
  return wide;
}

/** Each px of the hole becomes the mean of its neighbours, over and over: the surroundings flow in from the rim. */
function flowIn(data: Buffer, hole: Uint8Array, width: number, height: number): void {
  const inside = [...hole.keys()].filter((at) => hole[at] === 1);
  const around = new Map(inside.map((at) => [at, neighbours(at, width, height)]));
  for (let round = 0; round < rounds; round++) {
    for (const [at, next] of around)
      for (let channel = 0; channel < 3; channel++)
        data[3 * at + channel] = next.reduce((sum, one) => sum + data[3 * one + channel]!, 0) / next.length;
  }
}

/**
 * @param frame upright picture.
 * @param mask 8-bit grey PNG of its size, light where something is taken out.
 * @returns a JPEG of quality 95.
 */
export async function paintOut(frame: Uint8Array, mask: Uint8Array): Promise<Buffer> {
  const { width: wide = 1, height: high = 1 } = await sharp(frame).metadata();
  const [width, height] = [Math.round(wide / reduction), Math.round(high / reduction)];
  const size = { width, height, fit: 'fill' } as const;
  const data = await sharp(frame).resize(size).removeAlpha().raw().toBuffer();
  const cover = await sharp(mask).resize(size).extractChannel(0).raw().toBuffer();
  const hole = widened(
    Uint8Array.from(cover, (value) => (value > 20 ? 1 : 0)),
    width,
    height,
  );
  flowIn(data, hole, width, height);
  const alpha = Buffer.from(hole.map((inside) => 255 * inside));
  const patch = await sharp(data, { raw: { width, height, channels: 3 } })
    .joinChannel(alpha, { raw: { width, height, channels: 1 } })
    .png()
    .toBuffer();
  const large = await sharp(patch).resize({ width: wide, height: high, fit: 'fill' }).png().toBuffer();
  return sharp(frame)
    .composite([{ input: large }])
    .withIccProfile('srgb')
    .jpeg({ quality: 95 })
    .toBuffer();
}
