import { fileURLToPath } from 'node:url';
import sharp from 'sharp';
import { describe, expect, it } from 'vitest';
import type { BackgroundPerson } from '../../../pipeline/contracts/measurement/people.ts';
import { decodeFrame } from '../../../pipeline/decode/decode-frame.ts';
import { posterAround } from '../../../pipeline/measure/people/poster.ts';
import { findPeople } from '../../../pipeline/measure/people.ts';
import { type BoxTuple, boxInPx, shareInside } from '../../../pipeline/numeric/boxes.ts';

/** Rendered frames hung into others as posters: where they hang, and that nobody in them is alive, is known. */

const delivery = (name: string) =>
  fileURLToPath(new URL(`../../../samples/delivery/${name}.jpg`, import.meta.url));

interface Hung {
  readonly frame: Buffer;
  /** The poster with its white border, px of the frame. */
  readonly poster: BoxTuple;
}

async function hang(on: string, picture: string, atLeft: boolean): Promise<Hung> {
  const { width, height } = await sharp(delivery(on)).metadata();
  const border = 8;
  const { data, info } = await sharp(delivery(picture))
    .resize({ height: Math.round(0.3 * height) })
    .extend({ top: border, bottom: border, left: border, right: border, background: '#eee' })
    .blur(1.2)
    .toBuffer({ resolveWithObject: true });
  const left = atLeft ? 60 : width - info.width - 60;
  const top = Math.round(height / 4);
  const frame = await sharp(delivery(on))
    .composite([{ input: data, left, top }])
    .jpeg()
    .toBuffer();
  return { frame, poster: [left, top, info.width, info.height] };
}

async function foundIn({ frame, poster }: Hung) {
  const { image } = await decodeFrame(frame);
  const { width, height } = await sharp(frame).metadata();
  const { subjects, background } = await findPeople(image);
  const hangs = ({ box }: BackgroundPerson) => shareInside(boxInPx(box, { width, height }), poster) >= 0.9;
  return {
    subjects,
    hanging: background.filter(hangs),
    standing: background.filter((person) => !hangs(person)),
  };
}

describe('people on a poster', () => {
  it.each([
    ['linen-shift/a-0412', 'camel-coat/a-0502', true],
    ['striped-knit/a-0533', 'camel-coat/a-0502', false],
    ['camel-coat/a-0502', 'tea-dress/a-0447', true],
  ] as const)('in %s, which shows %s, are noted and not found as people', async (on, picture, atLeft) => {
    const { subjects, hanging } = await foundIn(await hang(on, picture, atLeft));
    expect(subjects).toHaveLength(1);
    expect(hanging).not.toHaveLength(0);
    for (const { mayBe } of hanging) expect(mayBe).toContain('poster');
  });

  it('do not take the passers-by beside it with them', async () => {
    const { standing } = await foundIn(await hang('tea-dress/a-0447', 'camel-coat/a-0502', true));
    expect(standing.map(({ mayBe }) => mayBe)).toContain(null);
    for (const { mayBe } of standing) expect(mayBe ?? '').not.toContain('poster');
  });

  it('hang where the poster is found', async () => {
    const { frame, poster } = await hang('linen-shift/a-0412', 'camel-coat/a-0502', true);
    const { data, info } = await sharp(frame).raw().toBuffer({ resolveWithObject: true });
    const [x, y, width, height] = poster;
    const model: BoxTuple = [x + 0.28 * width, y + 0.08 * height, 0.4 * width, 0.9 * height];
    const found = posterAround({ ...info, data }, model);
    // A few px of the patch, on which the figure is 80 px tall.
    for (const side of [0, 1, 2, 3] as const) {
      expect(Math.abs(found![side] - poster[side])).toBeLessThanOrEqual((4 / 80) * 0.9 * height);
    }
  });
});
