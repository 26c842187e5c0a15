import { describe, expect, it } from 'vitest';
import type { Rgb8 } from '../../../pipeline/contracts/frame-image.ts';
import type { FlashBand } from '../../../pipeline/contracts/measurement/exposure.ts';
import { findFlashBand } from '../../../pipeline/measure/exposure/flash-band.ts';
import { byteOfLinear } from '../../../pipeline/numeric/colour/srgb.ts';
import { type Codes, madePicture, noCapture } from '../../helpers/made-frame.ts';

/** A shutter set faster than sync, with flash: focal-plane shutters sync at 1/125 to 1/500 s. */
const fast = { ...noCapture, flashFired: true, exposureTimeS: 1 / 640 };

/** Light of a made scene: a wall with slanting beams, a figure in front of it. Linear, 0..1. */
function scene(x: number, y: number): number {
  const window = Math.floor(5 * x + 5 * y) % 2 === 0 ? 0.5 : 1;
  const figure = Math.abs(x - 0.55) < 0.1 && y > 0.15 ? 0.3 : 1;
  return 0.5 * window * figure * (1 + 0.1 * Math.sin(40 * x + 23 * y));
}

/** Gain of light at `t` from an edge: dark by `stops` up to `reach`, with a soft border. */
function shade(t: number, reach: number, stops: number): number {
  const rise = Math.min(1, Math.max(0, (t - reach) / 0.03 + 0.5));
  return 2 ** (-stops * (1 - rise));
}

function picture(width: number, height: number, gain: (x: number, y: number) => number): Rgb8 {
  return madePicture(width, height, (px, py): Codes => {
    const [x, y] = [(px + 0.5) / width, (py + 0.5) / height];
    const code = byteOfLinear(scene(x, y) * gain(x, y));
    return [code, code, code];
  });
}

function found(result: FlashBand | string): FlashBand {
  if (typeof result === 'string') throw new Error(`Expected a strip, received "${result}"`);
  return result;
}

describe('the strip of a shutter faster than flash sync', () => {
  it.each([
    ['bottom', 600, 400, (_: number, y: number) => 1 - y],
    ['top', 600, 400, (_: number, y: number) => y],
    ['left', 400, 600, (x: number) => x],
    ['right', 400, 600, (x: number) => 1 - x],
  ] as const)(
    'along the %s edge is placed within 2 %% and its depth told within 0.3 stop',
    (edge, width, height, from) => {
      for (const [reach, stops] of [
        [0.12, 1],
        [0.2, 2],
        [0.3, 3],
      ] as const) {
        const band = found(
          findFlashBand(
            picture(width, height, (x, y) => shade(from(x, y), reach, stops)),
            fast,
          ),
        );
        expect(band.edge).toBe(edge);
        expect(Math.abs(band.reachShare - reach)).toBeLessThan(0.02);
        expect(Math.abs(band.depthStops - stops)).toBeLessThan(0.3);
      }
    },
  );

  it('is not seen in an evenly lit frame', () => {
    expect(
      findFlashBand(
        picture(600, 400, () => 1),
        fast,
      ),
    ).toMatch(/No strip/);
    expect(
      findFlashBand(
        madePicture(600, 400, () => [128, 128, 128]),
        fast,
      ),
    ).toMatch(/No strip/);
  });

  it('is no dark skirt, no dark road with another picture in it, no vignette and no evening sky', () => {
    const skirt = picture(600, 400, (x, y) => (y > 0.6 && Math.abs(x - 0.5) < 0.25 ? 0.2 : 1));
    const vignette = picture(600, 400, (x, y) => 1 - 0.6 * ((x - 0.5) ** 2 + (y - 0.5) ** 2));
    const sky = picture(600, 400, (_, y) => 2 ** (-2 * (1 - y)));
    const road = madePicture(600, 400, (px, py): Codes => {
      const ground = byteOfLinear(0.08 * (1 + 0.4 * Math.sin(px / 7 + py / 3)));
      const wall = byteOfLinear(scene(px / 600, py / 400));
      return py > 280 ? [ground, ground, ground] : [wall, wall, wall];
    });
    for (const frame of [skirt, vignette, sky, road]) expect(findFlashBand(frame, fast)).toMatch(/No strip/);
  });

  it('is no tilted border: the shutter runs exactly along the frame', () => {
    const tilted = picture(600, 400, (x, y) => shade(1 - y + 0.14 * (x - 0.5), 0.2, 2));
    expect(findFlashBand(tilted, fast)).toMatch(/No strip/);
  });

  it('is not looked for where there can be none', () => {
    const banded = picture(600, 400, (_, y) => shade(1 - y, 0.2, 2));
    expect(findFlashBand(banded, { ...fast, flashFired: false })).toMatch(/no flash fired/);
    expect(findFlashBand(banded, { ...fast, exposureTimeS: 1 / 100 })).toMatch(/slow enough/);
    expect(
      findFlashBand(
        madePicture(20, 20, () => [9, 9, 9]),
        fast,
      ),
    ).toMatch(/too small/);
    /** A file without EXIF is judged by its px alone. */
    expect(found(findFlashBand(banded, noCapture)).edge).toBe('bottom');
  });
});
