/**
 * Correlated colour temperature and Duv (CIE 15:2018 section 9.5; sign of Duv as in ANSI C78.377: positive is above the locus, green),
 * and the way back. The nearest point of the Planckian locus in CIE 1960 uv is found by Newton's method on the spectra themselves,
 * so there is no table whose steps could show.
 */
import type { Chromaticity } from './chromaticity.ts';
import { type LocusPoint, planckianPoint } from './planck.ts';

export interface Whiteness {
  readonly cctK: number;
  readonly mired: number;
  readonly duv: number;
}

/** 100,000 K and 1,000 K: outside, a temperature says nothing about a photograph. */
const coolestMired = 10;
const warmestMired = 1000;
const coarse = Array.from({ length: 67 }, (_, i) => {
  const mired = Math.min(warmestMired, coolestMired * 10 ** (i / 33));
  return { mired, ...planckianPoint(mired) };
});

/** 10^6 / kelvin, and back. */
export function miredOfKelvin(kelvin: number): number {
  return 1e6 / kelvin;
}

/** `null` where the nearest point lies at an end of the range 1,000 to 100,000 K, or where the chromaticity is not a number. */
export function whitenessOfUv([u, v]: Chromaticity): Whiteness | null {
  if (!Number.isFinite(u) || !Number.isFinite(v)) return null;
  let nearest = 0;
  let smallest = Number.POSITIVE_INFINITY;
  coarse.forEach(({ uv }, i) => {
    const distance = (uv[0] - u) ** 2 + (uv[1] - v) ** 2;
    if (distance < smallest) {
      smallest = distance;
      nearest = i;
    }
  });
  const [before, after] = [
    coarse[Math.max(0, nearest - 1)]!,
    coarse[Math.min(coarse.length - 1, nearest + 1)]!,
  ];
  if (along(before, u, v) < 0 || along(after, u, v) > 0) return null;

  let [low, high] = [before.mired, after.mired];
  let mired = coarse[nearest]!.mired;
  let here: LocusPoint = coarse[nearest]!;
  for (let step = 0; step < 60; step++) {
    const offset = along(here, u, v);
    if (offset > 0) low = mired;
    else high = mired;
    const newton = mired + offset / (here.tangent[0] ** 2 + here.tangent[1] ** 2);
    const next = newton > low && newton < high ? newton : (low + high) / 2;
    const moved = Math.abs(next - mired);
    if (moved < 1e-9 * mired) break;
    mired = next;
    here = planckianPoint(mired);
  }
  const [nu, nv] = greenwards(here.tangent);
  return { cctK: 1e6 / mired, mired, duv: (u - here.uv[0]) * nu + (v - here.uv[1]) * nv };
}

/** Chromaticity at a temperature (kelvin) and a distance from the locus: the exact inverse of `whitenessOfUv` for |Duv| up to 0.05. */
export function uvOfWhiteness(cctK: number, duv: number): Chromaticity {
  const foot = planckianPoint(miredOfKelvin(cctK));
  const [nu, nv] = greenwards(foot.tangent);
  return [foot.uv[0] + duv * nu, foot.uv[1] + duv * nv];
}

/** How far the point lies beyond the normal at a place of the locus, towards lower temperatures. */
function along({ uv, tangent }: LocusPoint, u: number, v: number): number {
  return (u - uv[0]) * tangent[0] + (v - uv[1]) * tangent[1];
}

/** Unit normal of the locus that points away from the purple side. */
function greenwards([tu, tv]: Chromaticity): Chromaticity {
  const length = Math.hypot(tu, tv);
  return [-tv / length, tu / length];
}
