import type { Box } from '../contracts/box.ts';
import type { FrameImage, Rgb8 } from '../contracts/frame-image.ts';
import type { BackgroundPerson, People, Subject } from '../contracts/measurement/people.ts';
import { type BoxTuple, boxArea, boxInPx, intersectionOverUnion } from '../numeric/boxes.ts';
import { type ScoredBox, suppress } from '../numeric/suppression.ts';
import type { PersonMask } from './networks/blazepose.ts';
import { estimatePoses, type PosedPerson } from './networks/movenet-multipose.ts';
import { estimatePose } from './networks/movenet-thunder.ts';
import {
  backgroundPerson,
  isSettled,
  keepPeople,
  type SubjectShape,
  showsSubject,
} from './people/background.ts';
import { backedByPoses, fuse, sameIou } from './people/candidates.ts';
import { chooseSubjects, type Prospect } from './people/choose-subjects.ts';
import { relativeFocus } from './people/focus.ts';
import { type Look, lookFurther, viewOf } from './people/looks.ts';
import { maskShare } from './people/mask-share.ts';
import { type ColourSpread, colourSpread, isOfOneMaterial } from './people/one-material.ts';
import { wholePicture } from './people/passes.ts';
import { hasOutline } from './people/person-outline.ts';
import { isOnPoster, posterAround } from './people/poster.ts';
import { reflections } from './people/reflection.ts';
import { subjectBody } from './people/subject-body.ts';

/** Poses below are noise. */
const leastPose = 0.1;
/** A model must be posed this clearly, or be found this clearly by the person network where no pose was. */
const leastModelPose = 0.2;
const leastModelBox = 0.35;
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
  const whole = viewOf(picture, [wholePicture(picture.width, picture.height)]);
  const first = await whole(false);
  const subjects = await describeSubjects(picture, prospectsOf(picture, poses, first.found));
  const bodies: PersonMask[] = [];
  for (const { box } of subjects) bodies.push(await subjectBody(picture, box));
  const shapes = bodies.map(
    (body, index): SubjectShape => ({
      box: boxInPx(subjects[index]!.box, picture),
      share: maskShare(body),
    }),
  );
  const posed = poses.map(({ box, score }) => ({ box: boxInPx(box, picture), score }));
  const others = (looks: readonly Look[]) =>
    looks.map((look) => ({ ...look, found: look.found.filter(({ box }) => !showsSubject(box, shapes)) }));
  const inBackground = (looks: readonly Look[]) => backedByPoses(fuse(others(looks), picture), posed);
  const looks = await lookFurther(picture, whole, first, (taken) =>
    isSettled(inBackground(taken), taken.length),
  );
  const subjectBoxes = shapes.map(({ box }) => box);
  const model = subjects[0] === undefined ? null : await spreadOf(picture, subjects[0].box);
  const isReflection = reflections(picture);
  const background: BackgroundPerson[] = [];
  const kept = keepPeople(inBackground(looks));
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
    candidates: suppress(fuse(looks, picture), 0.5),
  };
}

/**
 * The model or models, and everybody else in the frame.
 *
 * The body point network (MoveNet MultiPose) gives the large people, among whom the models are chosen by size, place, focus and
 * pose; the person network (NanoDet) gives everybody, in up to four looks that have to agree; what shows a part of a model by her mask
 * (BlazePose) is left out; what is her mirror image, on a poster or of one material throughout says so.
 *
 * @param image only `analysis` is looked at; masks and `blurSigmaPx` are left `null` for whoever draws them and measures sharpness.
 * @returns boxes as shares of the frame, background people surest first; scores 0..1 and a little above where all networks agree.
 */
export async function findPeople(image: FrameImage): Promise<People> {
  return (await findPeopleAndCandidates(image)).people;
}
