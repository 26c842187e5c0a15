import type { Box } from '../contracts/box.ts';
import type { FrameImage, Rgb8 } from '../contracts/frame-image.ts';
import type { BackgroundPerson, People, Subject } from '../contracts/measurement/people.ts';
import { type BoxTuple, boxArea, boxInPx, intersectionOverUnion } from '../numeric/boxes.ts';
import { fuseLooks } from '../numeric/fusion.ts';
import { type ScoredBox, suppress } from '../numeric/suppression.ts';
import type { PersonMask } from './networks/blazepose.ts';
import { estimatePoses, type PosedPerson } from './networks/movenet-multipose.ts';
import { estimatePose } from './networks/movenet-thunder.ts';
import { backgroundPerson, keepPeople, type SubjectShape, showsSubject } from './people/background.ts';
import { chooseSubjects, type Prospect } from './people/choose-subjects.ts';
import { relativeFocus } from './people/focus.ts';
import { lookForPeople } from './people/looks.ts';
import { maskShare } from './people/mask-share.ts';
import { type ColourSpread, colourSpread, isOfOneMaterial } from './people/one-material.ts';
import { hasOutline } from './people/person-outline.ts';
import { isOnPoster, posterAround } from './people/poster.ts';
import { reflections } from './people/reflection.ts';
import { subjectBody } from './people/subject-body.ts';

/** Poses below are noise. */
const leastPose = 0.1;
/** A model must be posed this clearly, or be found this clearly by the person network where no pose was. */
const leastModelPose = 0.2;
const leastModelBox = 0.35;
/** Overlap from which boxes of different looks show one person, and how many looks have to agree for a full score. */
const sameIou = 0.4;
const witnesses = 2;
/** A body point network that sees somebody there as well adds this share of its own score; chosen on the even-numbered evaluation photographs. */
const poseWeight = 0.5;
/** A body point from this score on shows: about half of the 0.3 that the network's publisher recommends, since people in the background are blurred. */
const leastPoint = 0.15;

export interface PeopleAndCandidates {
  readonly people: People;
  /** Everybody that was considered, subjects included, down to a low score; px of `analysis`. For measuring average precision. */
  readonly candidates: readonly ScoredBox[];
}

function prospectsOf(
  picture: Rgb8,
  poses: readonly PosedPerson[],
  whole: readonly ScoredBox[],
): readonly Prospect[] {
  const posed = poses
    .filter(({ score }) => score >= leastModelPose)
    .map(({ box, score }) => ({ box: boxInPx(box, picture), score }));
  const found = posed.length > 0 ? posed : whole.filter(({ score }) => score >= leastModelBox);
  // Before a shop window or mirror a model is one model: the larger of two mirror images is she.
  const larger = (than: BoxTuple) =>
    found.map(({ box }) => box).filter((box) => boxArea(box) > boxArea(than));
  const isReflection = reflections(picture);
  const real = found.filter(({ box }) => !isReflection(box, larger(box)));
  // Focus is for comparing: somebody alone is chosen without it.
  const focusOf = (box: BoxTuple) => (real.length > 1 ? relativeFocus(picture, box) : null);
  return real.map(({ box, score }) => ({ box, score, focus: focusOf(box) }));
}

async function describeSubjects(picture: Rgb8, prospects: readonly Prospect[]): Promise<readonly Subject[]> {
  const { width, height } = picture;
  const subjects: Subject[] = [];
  for (const { index, because } of chooseSubjects(prospects, width, height)) {
    const prospect = prospects[index];
    if (prospect === undefined) continue;
    const [x, y, w, h] = prospect.box;
    const box = [x / width, y / height, w / width, h / height] as const;
    subjects.push({
      box,
      score: prospect.score,
      mask: null,
      maskKind: null,
      keypoints: [...(await estimatePose(picture, box))],
      because,
    });
  }
  return subjects;
}

/** Where the body point network sees somebody as well the score rises. */
function backedByPoses(candidates: readonly ScoredBox[], poses: readonly ScoredBox[]): readonly ScoredBox[] {
  return candidates
    .map(({ box, score }) => ({ box, score: score + poseWeight * bestPoseAt(box, poses) }))
    .sort((a, b) => b.score - a.score);
}

function bestPoseAt(box: BoxTuple, poses: readonly ScoredBox[]): number {
  let best = 0;
  for (const pose of poses) {
    if (pose.score > best && intersectionOverUnion(pose.box, box) > sameIou) best = pose.score;
  }
  return best;
}

/** Share of the body points that show of the person in a box; `null` where no pose was found there. */
function standingShare(box: BoxTuple, poses: readonly PosedPerson[], picture: Rgb8): number | null {
  const best = poses
    .map((pose) => ({ pose, iou: intersectionOverUnion(boxInPx(pose.box, picture), box) }))
    .filter(({ iou }) => iou > sameIou)
    .sort((a, b) => b.iou - a.iou)[0];
  if (best === undefined) return null;
  const { points } = best.pose;
  return points.filter(({ score }) => score >= leastPoint).length / points.length;
}

/** `null` for somebody so small that no mask is drawn either. */
async function spreadOf(
  picture: Rgb8,
  box: Box,
  inFront: readonly PersonMask[] = [],
): Promise<ColourSpread | null> {
  if (!hasOutline(picture, box)) return null;
  return colourSpread(picture, boxInPx(box, picture), await subjectBody(picture, box), inFront);
}

/**
 * People of a frame with every candidate beside them, for the accuracy figures.
 * @param image only `analysis` is looked at.
 */
export async function findPeopleAndCandidates(image: FrameImage): Promise<PeopleAndCandidates> {
  const picture = image.analysis;
  const poses = await estimatePoses(picture, leastPose);
  const looks = await lookForPeople(picture);
  const subjects = await describeSubjects(picture, prospectsOf(picture, poses, looks[0] ?? []));
  const bodies: PersonMask[] = [];
  for (const { box } of subjects) bodies.push(await subjectBody(picture, box));
  const shapes = bodies.map(
    (body, index): SubjectShape => ({
      box: boxInPx(subjects[index]!.box, picture),
      share: maskShare(body),
    }),
  );
  const posed = poses.map(({ box, score }) => ({ box: boxInPx(box, picture), score }));
  const others = looks.map((look) => look.filter(({ box }) => !showsSubject(box, shapes)));
  const subjectBoxes = shapes.map(({ box }) => box);
  const model = subjects[0] === undefined ? null : await spreadOf(picture, subjects[0].box);
  const isReflection = reflections(picture);
  const background: BackgroundPerson[] = [];
  const kept = keepPeople(backedByPoses(fuseLooks(others, sameIou, witnesses), posed));
  const posters = kept.map(({ box }) => posterAround(picture, box)).filter((poster) => poster !== null);
  for (const found of kept) {
    const standing = standingShare(found.box, poses, picture);
    const person = backgroundPerson(found, standing, subjectBoxes, picture);
    const mayBe = isReflection(found.box, subjectBoxes)
      ? 'a reflection of the model'
      : isOnPoster(found.box, posters)
        ? 'a picture on a poster or in a frame'
        : isOfOneMaterial(await spreadOf(picture, person.box, bodies), model)
          ? 'a statue or mannequin, being of one colour throughout,'
          : person.mayBe;
    background.push({ ...person, mayBe });
  }
  const reason: Record<string, string> = {};
  if (subjects.length === 0) reason.subjects = "Nobody of a model's size was found in the frame.";
  return {
    people: { subjects: [...subjects], background, reason },
    // The poses raise large people most, which helps to choose but spoils the ranking that average precision looks at.
    candidates: suppress(fuseLooks(looks, sameIou, witnesses), 0.5),
  };
}

/**
 * The model or models, and everybody else in the frame.
 *
 * The body point network (MoveNet MultiPose) gives the large people, among whom the models are chosen by size, place, focus and
 * pose; the person network (NanoDet) gives everybody, in four looks that have to agree; what shows a part of a model by her mask
 * (BlazePose) is left out; what is her mirror image, on a poster or of one material throughout says so.
 *
 * @param image only `analysis` is looked at; masks and `blurSigmaPx` are left `null` for whoever draws them and measures sharpness.
 * @returns boxes as shares of the frame, background people surest first; scores 0..1 and a little above where all networks agree.
 */
export async function findPeople(image: FrameImage): Promise<People> {
  return (await findPeopleAndCandidates(image)).people;
}
