import type { Check } from '../contracts/check.ts';
import { backgroundPerson } from './frame/background-person.ts';
import { blockedShadows } from './frame/blocked-shadows.ts';
import { busyBackground } from './frame/busy-background.ts';
import { clippedHighlights } from './frame/clipped-highlights.ts';
import { cutAtJoint } from './frame/cut-at-joint.ts';
import { darkBackground } from './frame/dark-background.ts';
import { flashSync } from './frame/flash-sync.ts';
import { highIso } from './frame/high-iso.ts';
import { missingSubject } from './frame/missing-subject.ts';
import { slowShutter } from './frame/slow-shutter.ts';
import { softEyes } from './frame/soft-eyes.ts';
import { softFace } from './frame/soft-face.ts';
import { softGarment } from './frame/soft-garment.ts';
import { unreadableFile } from './frame/unreadable-file.ts';
import { wideAperture } from './frame/wide-aperture.ts';
import { wrongColourProfile } from './frame/wrong-colour-profile.ts';
import { wrongFormat } from './frame/wrong-format.ts';
import { wrongSize } from './frame/wrong-size.ts';
import { colourDrift } from './garment/colour-drift.ts';
import { droppedFrame } from './garment/dropped-frame.ts';
import { missingView } from './garment/missing-view.ts';
import { nearDuplicate } from './garment/near-duplicate.ts';
import { setSize } from './garment/set-size.ts';
import { unevenExposure } from './garment/uneven-exposure.ts';
import { unfixedWhiteBalance } from './garment/unfixed-white-balance.ts';

/** Every check, in the order in which findings are listed. A new check is one file, one line here, and its limits in the default profile. */
export const checks: readonly Check[] = [
  unreadableFile,
  missingSubject,
  softEyes,
  softFace,
  softGarment,
  backgroundPerson,
  clippedHighlights,
  blockedShadows,
  cutAtJoint,
  busyBackground,
  wrongSize,
  wrongFormat,
  wrongColourProfile,
  flashSync,
  slowShutter,
  wideAperture,
  darkBackground,
  highIso,
  missingView,
  colourDrift,
  unevenExposure,
  setSize,
  droppedFrame,
  unfixedWhiteBalance,
  nearDuplicate,
];
