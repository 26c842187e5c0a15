/** What a lens or a movement makes of an ideal step, from analytic formulae of its own: nothing here comes from the pipeline. */

export type Spread =
  | { readonly kind: 'gaussian'; readonly sigmaPx: number }
  /** Uniform disc: defocus of an ideal lens. */
  | { readonly kind: 'disc'; readonly radiusPx: number }
  /** Straight motion at even speed, degrees anticlockwise from the horizontal, seen through `lensSigmaPx`. */
  | { readonly kind: 'motion'; readonly lengthPx: number; readonly deg: number };

/** A Gaussian lens before the motion: without one, an edge along the motion would be a bare step. */
export const lensSigmaPx = 0.6;

/** Cumulative normal distribution by the series of Abramowitz and Stegun 26.2.11, to 1e-12. */
export function normalIntegral(u: number): number {
  if (u > 7) return 1;
  if (u < -7) return 0;
  let term = u;
  let sum = u;
  for (let k = 3; Math.abs(term) > 1e-14; k += 2) {
    term *= (u * u) / k;
    sum += term;
  }
  return 0.5 + sum * normalDensityAt(u);
}

const normalDensityAt = (u: number): number => Math.exp(-0.5 * u * u) / Math.sqrt(2 * Math.PI);

/**
 * Share of full brightness at distance `n` px on the bright side of a straight edge (negative: on the dark side).
 * @param normalDeg direction of the edge's normal, degrees anticlockwise from the horizontal; counts for motion alone.
 */
export function edgeSpread(spread: Spread, n: number, normalDeg: number): number {
  switch (spread.kind) {
    case 'gaussian':
      return normalIntegral(n / spread.sigmaPx);
    case 'disc': {
      // Area of the unit disc on one side of a chord.
      const u = Math.min(1, Math.max(-1, n / spread.radiusPx));
      return 0.5 + (u * Math.sqrt(1 - u * u) + Math.asin(u)) / Math.PI;
    }
    case 'motion': {
      // Mean of the lens's edge over the width of the motion as the edge sees it.
      const width = spread.lengthPx * Math.abs(Math.cos(((spread.deg - normalDeg) * Math.PI) / 180));
      if (width < 1e-6) return normalIntegral(n / lensSigmaPx);
      const primitive = (u: number): number => u * normalIntegral(u) + normalDensityAt(u);
      const [from, to] = [(n - width / 2) / lensSigmaPx, (n + width / 2) / lensSigmaPx];
      return (lensSigmaPx / width) * (primitive(to) - primitive(from));
    }
  }
}
