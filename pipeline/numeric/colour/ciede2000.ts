/**
 * Colour difference CIEDE2000 (ISO/CIE 11664-6:2014) with kL = kC = kH = 1, in the formulation of
 * Sharma, Wu and Dalal, Color Research and Application 30 (2005) 21-30, whose 34 test pairs it reproduces to 4 decimals.
 */
import type { Triple } from './matrix3.ts';

const radians = Math.PI / 180;
/** 25^7, the chroma at which the grey correction has half its effect. */
const halfChroma7 = 25 ** 7;

/** Difference of two CIELAB colours, symmetric, 0 for equal ones. Made for differences up to about 5. */
export function ciede2000([l1, a1, b1]: Triple, [l2, a2, b2]: Triple): number {
  const grey = 0.5 * (1 - root7((Math.hypot(a1, b1) + Math.hypot(a2, b2)) / 2));
  const stretched1 = (1 + grey) * a1;
  const stretched2 = (1 + grey) * a2;
  const c1 = Math.hypot(stretched1, b1);
  const c2 = Math.hypot(stretched2, b2);
  const h1 = hue(stretched1, b1);
  const h2 = hue(stretched2, b2);
  const colourless = c1 * c2 === 0;

  const hueStep = colourless ? 0 : shortWay(h2 - h1);
  const deltaL = l2 - l1;
  const deltaC = c2 - c1;
  const deltaH = 2 * Math.sqrt(c1 * c2) * Math.sin((hueStep / 2) * radians);

  const meanL = (l1 + l2) / 2;
  const meanC = (c1 + c2) / 2;
  const meanH = colourless ? h1 + h2 : meanHue(h1, h2);
  const t =
    1 -
    0.17 * cosine(meanH - 30) +
    0.24 * cosine(2 * meanH) +
    0.32 * cosine(3 * meanH + 6) -
    0.2 * cosine(4 * meanH - 63);
  const distance50 = (meanL - 50) ** 2;
  const sl = 1 + (0.015 * distance50) / Math.sqrt(20 + distance50);
  const sc = 1 + 0.045 * meanC;
  const sh = 1 + 0.015 * meanC * t;
  const rotation = -2 * root7(meanC) * Math.sin(60 * Math.exp(-(((meanH - 275) / 25) ** 2)) * radians);

  const dl = deltaL / sl;
  const dc = deltaC / sc;
  const dh = deltaH / sh;
  return Math.sqrt(dl * dl + dc * dc + dh * dh + rotation * dc * dh);
}

function root7(chroma: number): number {
  const power = chroma ** 7;
  return Math.sqrt(power / (power + halfChroma7));
}

/** Degrees, 0..360. */
function hue(a: number, b: number): number {
  if (a === 0 && b === 0) return 0;
  const degrees = Math.atan2(b, a) / radians;
  return degrees < 0 ? degrees + 360 : degrees;
}

function shortWay(step: number): number {
  if (step > 180) return step - 360;
  return step < -180 ? step + 360 : step;
}

function meanHue(h1: number, h2: number): number {
  const sum = h1 + h2;
  if (Math.abs(h1 - h2) <= 180) return sum / 2;
  return sum < 360 ? (sum + 360) / 2 : (sum - 360) / 2;
}

function cosine(degrees: number): number {
  return Math.cos(degrees * radians);
}
