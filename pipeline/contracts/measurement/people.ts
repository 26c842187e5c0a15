import { z } from 'zod';
import { boxSchema, pointSchema } from '../box.ts';
import { reasonsSchema } from '../reasons.ts';

/** The 17 body points in the order of the COCO keypoint challenge (Lin et al., ECCV 2014). */
export const bodyPointNames = [
  'nose',
  'left-eye',
  'right-eye',
  'left-ear',
  'right-ear',
  'left-shoulder',
  'right-shoulder',
  'left-elbow',
  'right-elbow',
  'left-wrist',
  'right-wrist',
  'left-hip',
  'right-hip',
  'left-knee',
  'right-knee',
  'left-ankle',
  'right-ankle',
] as const;

export const bodyPointSchema = z.strictObject({
  name: z.enum(bodyPointNames),
  at: pointSchema,
  /** The network's own confidence, 0..1. */
  score: z.number(),
});
export type BodyPoint = z.infer<typeof bodyPointSchema>;

/**
 * `outline`: the person's own outline, found in the picture. `shape`: a generous shape around somebody too small or too blurred to
 * have one that can be found.
 */
export const maskKinds = ['outline', 'shape'] as const;

/** Of subjects and background people alike. */
const maskFields = {
  /**
   * Name of the picture of the person's mask, stored beside the measurement: 8-bit grey PNG that spans the whole frame at the
   * resolution of the analysis, 0 outside to 255 inside. `null` with `maskKind` where nobody asked for masks.
   */
  mask: z
    .string()
    .regex(/^[a-z0-9-]+\.png$/)
    .nullable(),
  maskKind: z.enum(maskKinds).nullable(),
};

export const subjectSchema = z.strictObject({
  box: boxSchema,
  score: z.number(),
  ...maskFields,
  keypoints: z.array(bodyPointSchema),
  /** Why this person was taken for the model, in words. */
  because: z.string(),
});
export type Subject = z.infer<typeof subjectSchema>;

export const backgroundPersonSchema = z.strictObject({
  box: boxSchema,
  score: z.number(),
  ...maskFields,
  shareOfFrame: z.number(),
  /** Native px; `null` where the person has too few edges to tell. */
  blurSigmaPx: z.number().nullable(),
  /** Which frame edge cuts the person, if any. */
  cutBy: z.enum(['left', 'right', 'top', 'bottom']).nullable(),
  /** Overlap of the person's box with the nearest subject's box, as a share of the person's box. */
  overlapWithSubject: z.number(),
  /** Shortest gap between the person's box and the nearest subject's box as a share of the frame's long edge; 0 where they overlap, `null` without a subject. */
  distanceToSubject: z.number().nullable(),
  /** How much of a standing person shows, 0..1; `null` where body points are too few to tell. */
  standingShare: z.number().nullable(),
  /** Set where the detection may be something else than a live person (statue, poster, reflection): what it may be. */
  mayBe: z.string().nullable(),
});
export type BackgroundPerson = z.infer<typeof backgroundPersonSchema>;

export const peopleSchema = z.strictObject({
  subjects: z.array(subjectSchema),
  background: z.array(backgroundPersonSchema),
  reason: reasonsSchema,
});
export type People = z.infer<typeof peopleSchema>;

export const crops = ['full', 'knee', 'waist', 'detail', 'none'] as const;
export const views = ['front', 'three-quarter', 'side', 'back', 'unknown'] as const;

/** Parts of the body through which the frame's lower edge may cut, from the ground up. */
export const cutPlaces = ['feet', 'ankle', 'shin', 'knee', 'thigh', 'hip', 'waist', 'chest', 'head'] as const;

export const framingSchema = z.strictObject({
  crop: z.enum(crops),
  view: z.enum(views),
  /** Where the frame's lower edge cuts the subject; `null` where it does not. `ankle`, `knee` and `hip` are joints. */
  cutAt: z.enum(cutPlaces).nullable(),
  /** Turn of the shoulders away from the camera, degrees: 0 front, 90 side, 180 back, without sign; `null` where it cannot be told. */
  turnDeg: z.number().min(0).max(180).nullable(),
  feetVisible: z.union([z.literal(0), z.literal(1), z.literal(2)]).nullable(),
  /** Free height above the head, as a share of the frame's height. */
  headroom: z.number().nullable(),
  /** Height of the subject's box as a share of the frame's height. */
  fill: z.number().nullable(),
  reason: reasonsSchema,
});
export type Framing = z.infer<typeof framingSchema>;
