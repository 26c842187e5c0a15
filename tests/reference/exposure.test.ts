import { describe, expect, it } from 'vitest';
import {
  endsOfTheScale,
  exposureOfSettings,
  flashOverDistance,
  lightnessOfColours,
} from '../validation/exposure-sweep.ts';
import { flashBandDepth, flashBandReach, flashBandsFound } from '../validation/flash-band-sweep.ts';
import { missed, take } from '../validation/sweep.ts';

it('clipped and black px, patches and points of light are those that ImageMagick counts', async () => {
  expect(missed(await take(endsOfTheScale))).toEqual([]);
}, 120_000);

it('lightness is what culori makes of the same colours', async () => {
  expect(missed(await take(lightnessOfColours))).toEqual([]);
});

it('exposure spread over a set follows EV arithmetic', async () => {
  expect(missed(await take(exposureOfSettings))).toEqual([]);
});

it('background against model follows the inverse-square law', async () => {
  expect(missed(await take(flashOverDistance))).toEqual([]);
});

describe('dark bands of a shutter faster than flash sync, drawn into photographs', () => {
  it('are found, and none where there is none', async () => {
    expect(missed(await take(flashBandsFound))).toEqual([]);
  }, 120_000);

  it('are as deep as drawn, and reach as far', async () => {
    expect([...missed(await take(flashBandDepth)), ...missed(await take(flashBandReach))]).toEqual([]);
  });
});
