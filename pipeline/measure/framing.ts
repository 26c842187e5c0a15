import type { FrameImage } from '../contracts/frame-image.ts';
import type { BodyPoint, Framing, People } from '../contracts/measurement/people.ts';
import {
  ankleBelow,
  type BodyLevels,
  bodyHeightAt,
  bodyLevels,
  partAt,
  showsHead,
} from './framing/body-height.ts';
import { cutByEdge } from './framing/frame-edge.ts';
import { trunkTurn, viewOf } from './framing/view.ts';
import type { PersonMask } from './networks/blazepose.ts';
import { subjectBody } from './people/subject-body.ts';

/** Toes within this share of the frame's height from its lower edge are cut off: about the network's own step of 1 px in 256. */
const edgeShare = 0.006;
/** Toes below this probability are hidden by cloth or out of the frame; chosen on the evaluation photographs with even numbers. */
const leastFootVisibility = 0.55;
/** Tip of the left and right foot in the 33 points. */
const toes = [31, 32] as const;

const nobody = 'No model was found in the frame.';

function crop(lowestShown: number): Framing['crop'] {
  if (lowestShown < 0.5) return 'detail';
  if (lowestShown < 1.5) return 'waist';
  return lowestShown < ankleBelow ? 'knee' : 'full';
}

function visibleFeet(body: PersonMask): 0 | 1 | 2 {
  const shown = toes.filter((index) => {
    const point = body.points[index];
    return point !== undefined && point.visibility >= leastFootVisibility && point.at[1] < 1 - edgeShare;
  });
  return shown.length as 0 | 1 | 2;
}

/** Lowest part of the body that shows, as a body height, where the frame does not cut it. */
function uncutHeight(levels: BodyLevels): number {
  if (levels.ankles.seen || levels.knees.seen) return 4;
  return levels.hips.seen ? 1.4 : 0.4;
}

/** A piece of a garment: cut above by the frame, and neither a head nor hips to tell how much of a body it shows. */
const showsPiece = (levels: BodyLevels, points: readonly BodyPoint[], cutAbove: boolean): boolean =>
  cutAbove && !levels.hips.seen && !showsHead(points);

/**
 * How the subject stands in the frame: where it is cropped, from which side it is seen, how much room there is.
 * Of two subjects the first, more prominent one is described.
 *
 * @param image only `analysis` is looked at.
 */
export async function measureFraming(image: FrameImage, people: People): Promise<Framing> {
  const subject = people.subjects[0];
  if (subject === undefined) {
    const reason = { feetVisible: nobody, headroom: nobody, fill: nobody, turnDeg: nobody };
    return {
      crop: 'none',
      view: 'unknown',
      cutAt: null,
      turnDeg: null,
      feetVisible: null,
      headroom: null,
      fill: null,
      reason,
    };
  }
  const aspect = image.analysis.width / image.analysis.height;
  const body = await subjectBody(image.analysis, subject.box);
  const levels = bodyLevels(subject.keypoints, aspect);
  const cutAbove = cutByEdge('top', body, subject.box, image.analysis);
  const cut = cutByEdge('bottom', body, subject.box, image.analysis);
  // Without shoulders in the frame it shows a piece of a garment too, however much of the legs is there.
  const piece = levels === null || showsPiece(levels, subject.keypoints, cutAbove);
  const turnDeg = piece ? null : trunkTurn(subject.keypoints, aspect);
  const reason: Record<string, string> = {};
  if (turnDeg === null) reason.turnDeg = 'Too little of the body is seen to tell its turn.';
  const common = {
    view: viewOf(turnDeg),
    turnDeg,
    headroom: cutAbove ? 0 : subject.box[1],
    fill: subject.box[3],
    reason,
  };
  if (piece) return { ...common, crop: 'detail', cutAt: null, feetVisible: visibleFeet(body) };
  const shown = cut ? bodyHeightAt(1, levels) : uncutHeight(levels);
  const frameCrop = crop(shown);
  return {
    ...common,
    crop: frameCrop,
    cutAt: cut ? partAt(shown) : null,
    feetVisible: frameCrop === 'full' ? visibleFeet(body) : 0,
  };
}
