import type { Box, Point } from './box.ts';
import type { Mask } from './frame-image.ts';

/** Where the parts of the subject are; made once a frame and shared by every measurement. All masks have the size of `FrameImage.analysis`. */
export interface Regions {
  /** All subjects: body, clothes, hair, shoes. */
  readonly subject: Mask | null;
  /** The subjects' cloth: no skin, hair, shoes or bags. */
  readonly garment: Mask | null;
  readonly skin: Mask | null;
  readonly faces: readonly FaceRegion[];
  /** Everything that is neither a subject nor close to its outline, nor a background person. */
  readonly background: Mask | null;
  /** Why a member is `null` or `faces` is empty: member name to one plain sentence. */
  readonly reason: Readonly<Record<string, string>>;
}

export interface FaceRegion {
  readonly box: Box;
  readonly score: number;
  readonly eyes: readonly EyeRegion[];
  /** Why there is no eye to measure (closed, covered, turned away); `null` where there is one. */
  readonly eyesReason: string | null;
  /** Turn of the head, degrees: yaw positive to the frame's right. */
  readonly yawDeg: number;
}

export interface EyeRegion {
  /** As named from the subject's own side. */
  readonly side: 'left' | 'right';
  /** Box around lids, lashes and iris. */
  readonly box: Box;
  readonly irisCentre: Point;
  /** Share of the frame's width. */
  readonly irisRadius: number;
}
