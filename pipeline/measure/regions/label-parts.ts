/**
 * Tells cloth, skin, hair, shoes, bags and background apart on one subject's patch: place on the body (priors) times colour
 * (histograms learnt from this very frame), a few rounds of expectation and maximisation, smoothed between neighbours.
 * The idea of per-picture colour models that sharpen themselves is that of GrabCut (Rother, Kolmogorov, Blake, SIGGRAPH 2004),
 * with a mean over the neighbourhood in place of the graph cut.
 */
import { boxBlur } from '../../numeric/box-blur.ts';
import type { BodyFrame } from './body-frame.ts';
import { leastCover, partPriors } from './part-priors.ts';
import { type Part, partIndex, parts } from './parts.ts';
import type { Patch } from './patch.ts';
import { learnSkin, skinDensities } from './skin-tint.ts';
import { binCount, binTints, toDensity } from './tint-histogram.ts';

/** Neighbourhood of the smoothing after each round, cells to each side. */
const rounds = [1, 1, 2] as const;
/** In the first round a part learns its colour only where its place makes it likely. */
const firstSeeds: Readonly<Record<Part, number>> = {
  cloth: 0.5,
  skin: Number.POSITIVE_INFINITY,
  hair: 0.3,
  shoe: 0.3,
  bag: 0.3,
  background: 0.8,
};
/** A cell in the colour of the skin teaches the cloth's colour only a little in the first round. */
const skinColouredDensity = Math.exp(1) / (2 * Math.PI) ** 1.5;
const skinColouredWeight = 0.2;
/** Share of the face's own colour in the skin's model once limbs have been found. */
const faceShare = 0.7;
/** Posteriors below are left out of the next round's models. */
const leastPosterior = 0.02;

function learnColour(
  part: Part,
  weights: Float32Array,
  bins: Uint16Array,
  first: boolean,
  skin: Float32Array,
): Float32Array {
  const counts = new Float32Array(binCount);
  const cells = bins.length;
  const plane = partIndex[part] * cells;
  const least = first ? firstSeeds[part] : leastPosterior;
  const sparesSkin = first && part === 'cloth';
  for (let cell = 0; cell < cells; cell++) {
    let weight = weights[plane + cell]!;
    if (weight < least) continue;
    if (sparesSkin && skin[cell]! > skinColouredDensity) weight *= skinColouredWeight;
    counts[bins[cell]!]! += weight;
  }
  return toDensity(counts);
}

/** The cells in which the mask network sees anything of the subject. */
function cellsCovered(cover: Float32Array): Uint32Array {
  const cells = new Uint32Array(cover.length);
  let count = 0;
  for (let cell = 0; cell < cover.length; cell++) if (cover[cell]! >= leastCover) cells[count++] = cell;
  return cells.subarray(0, count);
}

/**
 * Writes how likely each part is in each of the given cells: its share by place times the density of the cell's colour.
 * @param colours density of each part's colour by bin; the skin's is mixed with the face's own, `skin`, by `faceShare`
 */
function weigh(
  priors: Float32Array,
  colours: readonly Float32Array[],
  bins: Uint16Array,
  skin: Float32Array,
  faceShare: number,
  cells: Uint32Array,
  posterior: Float32Array,
): void {
  const count = parts.length;
  const plane = bins.length;
  const products = new Float64Array(count);
  for (let i = 0; i < cells.length; i++) {
    const cell = cells[i]!;
    const bin = bins[cell]!;
    let sum = 0;
    for (let part = 0; part < count; part++) {
      let density = colours[part]![bin]!;
      if (part === partIndex.skin) density = faceShare * skin[cell]! + (1 - faceShare) * density;
      products[part] = priors[part * plane + cell]! * density;
      sum += products[part]!;
    }
    for (let part = 0; part < count; part++)
      posterior[part * plane + cell] = Math.fround(products[part]!) / sum;
  }
}

/**
 * @param cover person mask on the patch, 0..1 a cell
 * @returns one plane a part, `parts.length * cells` probabilities; they sum to 1 in every cell
 */
export function labelParts(patch: Patch, body: BodyFrame, cover: Float32Array): Float32Array {
  const cells = patch.columns * patch.rows;
  const priors = partPriors(patch, body, cover);
  const bins = binTints(patch.tint);
  const active = cellsCovered(cover);
  const skin = skinDensities(learnSkin(patch, body), patch.tint, active);
  const posterior = priors.slice();
  for (const [round, reach] of rounds.entries()) {
    const first = round === 0;
    const colours = parts.map((part) => learnColour(part, posterior, bins, first, skin));
    posterior.set(priors);
    weigh(priors, colours, bins, skin, first ? 1 : faceShare, active, posterior);
    for (let part = 0; part < parts.length; part++) {
      const plane = posterior.subarray(part * cells, (part + 1) * cells);
      boxBlur(plane, patch.columns, patch.rows, reach);
    }
  }
  return posterior;
}
