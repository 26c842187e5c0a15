/**
 * What a cell is likely to show by its place on the body alone, before its colour is looked at. Lengths are in face heights
 * (forehead to chin). The shares were set by hand and checked on the labelled photographs with even numbers; colour then
 * decides, so they need to be right only in rough.
 */
import {
  insidePolygon,
  type NearestOnSegment,
  nearestOnSegment,
  type PointTuple,
} from '../../numeric/polygon.ts';
import type { BodyFrame } from './body-frame.ts';
import { partIndex, parts } from './parts.ts';
import type { Patch } from './patch.ts';

/** Reach of the parts of the body around their bones, face heights. */
const reach = {
  upperArm: 0.35,
  forearm: 0.35,
  thigh: 0.5,
  shin: 0.45,
  hand: 0.4,
  foot: 0.3,
  nearFoot: 0.5,
} as const;
/** Tighter: what lies beyond is not the body itself and may be a bag. */
const bodyReach = { torso: 0.2, upperArm: 0.28, forearm: 0.25, thigh: 0.42, shin: 0.35 } as const;
const bag = {
  share: 0.4,
  /** Distance from the body at which the full share is reached. */
  fullAt: 0.3,
  /** A bag hangs within reach of a hand. */
  nearHand: 2.5,
  farFromHand: 0.4,
  /** Below the chin: no bags beside the head. */
  below: -0.6,
} as const;
/** The mask network is never taken for quite certain, so that colour may overrule it at the outline. */
const certain = 0.98;
/** Below this the mask network sees nothing of the subject. */
export const leastCover = 0.05;

interface Shares {
  skin: number;
  hair: number;
  shoe: number;
  bag: number;
}

function headShares(body: BodyFrame, x: number, y: number, shares: Shares): number {
  const dx = x - body.chin[0];
  const dy = y - body.chin[1];
  const above = (dx * body.up[0] + dy * body.up[1]) / body.faceHeight;
  const beside = Math.abs(dy * body.up[0] - dx * body.up[1]) / body.faceHeight;
  if (above > 0 && beside < 1.6) {
    shares.hair = (above > 0.15 ? 0.75 : 0.4) * Math.min(1, Math.max(0, 1 - (beside - 0.9) / 0.7));
    shares.skin = 0.1;
  } else if (above > -2.2 && beside < 1.3) {
    // Hair that falls over the shoulders.
    shares.hair = 0.3 * (1 + above / 2.2);
  }
  const face =
    body.faceOutline === null
      ? above > 0 && above < 1 && beside < 0.35
      : above > -0.2 && above < 1.2 && insidePolygon(body.faceOutline, x, y);
  if (face) {
    shares.skin = 0.9;
    shares.hair = 0.08;
  }
  if (above <= 0.1 && above > -0.55 && beside < 0.45) shares.skin = Math.max(shares.skin, 0.55);
  else if (above <= -0.55 && above > -1.3 && beside < 0.35) shares.skin = Math.max(shares.skin, 0.2);
  return above;
}

/** A limb: its bone, how far it reaches around it, and what shows on it. */
interface Limb {
  readonly from: PointTuple;
  readonly to: PointTuple;
  readonly reach: number;
  readonly bodyReach: number;
  /** Share of skin where the limb begins, and what is added up to where it ends. */
  readonly skin: number;
  readonly skinAlong: number;
  readonly endsInShoe: boolean;
}

const limbKinds = [
  { name: 'forearm', of: 'forearms', skin: 0.3, skinAlong: 0.1 },
  { name: 'upperArm', of: 'upperArms', skin: 0.15, skinAlong: 0 },
  { name: 'thigh', of: 'thighs', skin: 0.05, skinAlong: 0.2 },
  { name: 'shin', of: 'shins', skin: 0.35, skinAlong: 0 },
] as const;

const limbsOf = (body: BodyFrame): readonly Limb[] =>
  limbKinds.flatMap(({ name, of, skin, skinAlong }) =>
    body[of].map(([from, to]) => ({
      from,
      to,
      reach: reach[name],
      bodyReach: bodyReach[name],
      skin,
      skinAlong,
      endsInShoe: name === 'shin',
    })),
  );

/** Share of a shoe by the place along a shin. */
const shoeShare = (along: number): number => (along > 0.3 ? 0.02 + (0.08 * (along - 0.3)) / 0.7 : 0);

const nearest: NearestOnSegment = { distance: 0, along: 0 };

/** Adds what the limbs say and returns how far the cell lies outside the body, face heights (negative inside). */
function limbShares(
  { faceHeight: unit, torso }: BodyFrame,
  limbs: readonly Limb[],
  x: number,
  y: number,
  shares: Shares,
): number {
  let outside = Number.POSITIVE_INFINITY;
  for (let index = 0; index < limbs.length; index++) {
    const limb = limbs[index]!;
    nearestOnSegment(limb.from, limb.to, x, y, nearest);
    const distance = nearest.distance / unit;
    outside = Math.min(outside, distance - limb.bodyReach);
    if (distance >= limb.reach) continue;
    shares.skin = Math.max(shares.skin, limb.skin + limb.skinAlong * nearest.along);
    if (limb.endsInShoe) shares.shoe = Math.max(shares.shoe, shoeShare(nearest.along));
  }
  if (torso.length < 3) return outside;
  if (insidePolygon(torso, x, y)) return Math.min(outside, -bodyReach.torso);
  for (let index = 0; index < torso.length; index++) {
    nearestOnSegment(torso[index]!, torso[(index + 1) % torso.length]!, x, y, nearest);
    outside = Math.min(outside, nearest.distance / unit - bodyReach.torso);
  }
  return outside;
}

/** Adds what hands and feet say and returns the distance to the nearest hand, face heights. */
function handAndFootShares(body: BodyFrame, x: number, y: number, shares: Shares): number {
  const unit = body.faceHeight;
  let toHand = Number.POSITIVE_INFINITY;
  for (const hand of body.hands) {
    const dx = x - hand[0];
    const dy = y - hand[1];
    const distance = Math.sqrt(dx * dx + dy * dy) / unit;
    toHand = Math.min(toHand, distance);
    if (distance < reach.hand) shares.skin = Math.max(shares.skin, 0.6);
  }
  for (const foot of body.feet) {
    let distance = Number.POSITIVE_INFINITY;
    for (let index = 0; index < 3; index++) {
      nearestOnSegment(foot[index]!, foot[(index + 1) % 3]!, x, y, nearest);
      distance = Math.min(distance, nearest.distance / unit);
    }
    if (distance < reach.foot) shares.shoe = Math.max(shares.shoe, 0.85);
    else if (distance < reach.nearFoot) shares.shoe = Math.max(shares.shoe, 0.4);
  }
  return toHand;
}

/**
 * @param cover person mask on the patch, 0..1 a cell
 * @returns one plane a part, `parts.length * cover.length` shares; they sum to 1 in every cell
 */
export function partPriors(patch: Patch, body: BodyFrame, cover: Float32Array): Float32Array {
  const cells = patch.columns * patch.rows;
  const planes = new Float32Array(parts.length * cells);
  const [cloths, skins, hairs, shoes, bags, backgrounds] = parts.map((part) =>
    planes.subarray(partIndex[part] * cells, (partIndex[part] + 1) * cells),
  ) as [Float32Array, Float32Array, Float32Array, Float32Array, Float32Array, Float32Array];
  const limbs = limbsOf(body);
  const shares: Shares = { skin: 0, hair: 0, shoe: 0, bag: 0 };
  for (let cell = 0; cell < cells; cell++) {
    if (cover[cell]! < leastCover) {
      backgrounds[cell] = 1;
      continue;
    }
    const x = (cell % patch.columns) + 0.5;
    const y = Math.floor(cell / patch.columns) + 0.5;
    shares.skin = 0.02;
    shares.hair = 0;
    shares.shoe = 0;
    shares.bag = 0;
    const above = headShares(body, x, y, shares);
    const outside = limbShares(body, limbs, x, y, shares);
    const toHand = handAndFootShares(body, x, y, shares);
    if (outside > 0 && Number.isFinite(outside) && above < bag.below) {
      shares.bag =
        bag.share * Math.min(1, outside / bag.fullAt) * (toHand > bag.nearHand ? bag.farFromHand : 1);
    }
    const cloth = Math.max(0.02, 1 - Math.max(shares.skin, shares.hair) - shares.shoe - shares.bag);
    const background = Math.min(certain, Math.max(1 - certain, 1 - cover[cell]!));
    const norm = (1 - background) / (cloth + shares.skin + shares.hair + shares.shoe + shares.bag);
    cloths[cell] = cloth * norm;
    skins[cell] = shares.skin * norm;
    hairs[cell] = shares.hair * norm;
    shoes[cell] = shares.shoe * norm;
    bags[cell] = shares.bag * norm;
    backgrounds[cell] = background;
  }
  return planes;
}
