/** Places on MediaPipe's face mesh (canonical face model), by index; right and left as named from the person's own side. */

export interface EyeLandmarks {
  readonly outerCorner: number;
  readonly innerCorner: number;
  readonly upperLid: readonly number[];
  readonly lowerLid: readonly number[];
  /** On the skin below the lid, where the lens of dark glasses lies. */
  readonly below: readonly number[];
  /** On the upper cheek, about where such a lens ends. */
  readonly upperCheek: readonly number[];
}

export const eyeLandmarks: Readonly<Record<'right' | 'left', EyeLandmarks>> = {
  right: {
    outerCorner: 33,
    innerCorner: 133,
    upperLid: [246, 161, 160, 159, 158, 157, 173],
    lowerLid: [7, 163, 144, 145, 153, 154, 155],
    below: [228, 229, 230, 231],
    upperCheek: [117, 118, 119, 120],
  },
  left: {
    outerCorner: 263,
    innerCorner: 362,
    upperLid: [466, 388, 387, 386, 385, 384, 398],
    lowerLid: [249, 390, 373, 374, 380, 381, 382],
    below: [448, 449, 450, 451],
    upperCheek: [346, 347, 348, 349],
  },
};

/** Bridge, ridge and tip of the nose: bare skin even under glasses. */
export const noseLandmarks = [3, 4, 5, 6, 195, 196, 197, 248, 419];

export const cheekLandmarks = [50, 205, 36, 101, 118, 123, 147, 187, 280, 425, 266, 330, 347, 352, 376, 411];

/** Outline of the face from the middle of the forehead round by the left side. */
export const faceOval = [
  10, 338, 297, 332, 284, 251, 389, 356, 454, 323, 361, 288, 397, 365, 379, 378, 400, 377, 152, 148, 176, 149,
  150, 136, 172, 58, 132, 93, 234, 127, 162, 21, 54, 103, 67, 109,
];

/** Where the face meets the ears: the line between them turns with the head. */
export const sideLandmarks = { right: 234, left: 454 };
export const foreheadLandmark = 10;
export const chinLandmark = 152;
