import { readFile } from 'node:fs/promises';
import { fileURLToPath } from 'node:url';
import sharp from 'sharp';
import { describe, expect, it } from 'vitest';
import { decodeFrame } from '../../pipeline/decode/decode-frame.ts';
import { measureSharpness } from '../../pipeline/measure/sharpness.ts';
import { madeMask, noRegions } from '../helpers/made-frame.ts';

// Linen in low contrast, rendered in focus (samples/truth: blurDiscPx of the garment is 0), cut where no edge can be fitted.
const detail = fileURLToPath(new URL('../../samples/delivery/linen-shift/a-0430.jpg', import.meta.url));

async function clothBlur(blurPx: number): Promise<number | null> {
  const cut = sharp(await readFile(detail)).extract({ left: 400, top: 1000, width: 600, height: 600 });
  const soft = blurPx > 0 ? cut.blur(blurPx) : cut;
  const { image } = await decodeFrame(await soft.png().toBuffer());
  const garment = madeMask(image, () => true);
  return measureSharpness(image, { ...noRegions, garment }).garment?.blurSigmaPx ?? null;
}

describe('cloth of low contrast', () => {
  it('in focus does not read soft', async () => {
    expect(await clothBlur(0)).toBeLessThan(1.5);
  });

  // Known kernel: libvips' Gaussian.
  it.each([2, 3])('out of focus by %d px reads soft', async (blurPx) => {
    expect(await clothBlur(blurPx)).toBeGreaterThan(0.7 * blurPx);
  });
});
