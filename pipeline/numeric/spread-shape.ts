// How the shape of a spread function bears on the one length that describes it.

/** MTF50 of a Gaussian times its sigma, cycles: exp(-2 pi^2 sigma^2 f^2) = 1/2 solved for f sigma. */
export const gaussianMtf50 = Math.sqrt(Math.LN2 / 2) / Math.PI;

// Box * Gauss and disc * Gauss spreads from all Gaussian to all box or disc were fitted by a normal integral over 3 sigma + 1 sample to
// either side. The fitted sigma over the spread's standard deviation, less 1, follows one curve of the shape coefficient for both
// families, within 0.01, at standard deviations of 1 to 4 samples: 0.159 (shape / 0.0249)^0.8.
const excessAtBox = 0.159;
const shapeAtBox = 0.0249;
const exponent = 0.8;

/**
 * Fitted sigma over the standard deviation of the spread, 1 (Gaussian) to 1.16 (straight motion); 1.13 for a defocus disc.
 * @param shape see `EdgeFit.shape`; below 0 (a sharpened edge) counts as 0, beyond a box as a box.
 */
export function fittedOverTrueSigma(shape: number): number {
  const within = Math.min(1, Math.max(0, shape / shapeAtBox));
  return 1 + excessAtBox * within ** exponent;
}

/**
 * Shape coefficient of a straight motion on top of a Gaussian, from the motion's share of the whole variance (0..1): within 0.001 of the
 * computed ones up to 0.9.
 */
export function shapeOfMotion(motionShare: number): number {
  return shapeAtBox * Math.min(1, Math.max(0, motionShare)) ** 2.6;
}

/**
 * Spatial frequency at which the modulation of the spread has fallen to half, cycles per sample. In both families it lies, within 0.5 %,
 * at that of a Gaussian whose sigma is the geometric mean of the fitted sigma and the spread's standard deviation.
 */
export function mtf50(standardDeviation: number, shape: number): number {
  return gaussianMtf50 / (standardDeviation * Math.sqrt(fittedOverTrueSigma(shape)));
}
