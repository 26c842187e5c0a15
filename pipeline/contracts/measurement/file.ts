import { z } from 'zod';

/** Which RGB space the embedded ICC profile describes, found from its colorants and curve, never from its name alone. */
export const colourSpaces = [
  'srgb',
  'adobe-rgb',
  'display-p3',
  'prophoto-rgb',
  'grey',
  'cmyk',
  'other',
  'untagged',
] as const;

export const fileSchema = z.strictObject({
  /** What the bytes are, whatever the name says: `jpeg`, `png`, `tiff`, `webp`, `avif`, `gif`. */
  format: z.string(),
  bytes: z.number().int().nonnegative(),
  /** px of the upright frame: EXIF orientation is already applied. */
  width: z.number().int().positive(),
  height: z.number().int().positive(),
  bitsPerChannel: z.number().int().positive(),
  /** The description inside the embedded ICC profile; `null` where there is no profile. */
  colourProfile: z.string().nullable(),
  colourSpace: z.enum(colourSpaces),
  /** False: the profile's description claims a well-known space and its colorants or curve say otherwise. `null`: no profile, or a description that claims none. */
  profileNameAgrees: z.boolean().nullable(),
  /** Why an embedded profile could not be used (its px were then read as sRGB); `null` where there is none or it could. */
  profileProblem: z.string().nullable(),
  /** What the camera says in EXIF (ColorSpace and InteroperabilityIndex) whether or not a profile is embedded; `null` where it does not say. */
  cameraColourSpace: z.enum(['srgb', 'adobe-rgb', 'uncalibrated']).nullable(),
  /** The file has an alpha channel; its px were laid on white. */
  alpha: z.boolean(),
  /** Pictures in the file (animation frames, TIFF pages). Only the first is measured. */
  pages: z.number().int().positive(),
});
export type FileFacts = z.infer<typeof fileSchema>;

const text = z.string().nullable();
const positive = z.number().positive().nullable();

/** What the camera wrote (EXIF). Every member is `null` where the file does not say. */
export const captureSchema = z.strictObject({
  /** ISO 8601 with fractions of a second; ends in the UTC offset where the camera wrote one, otherwise it is local time. */
  takenAt: text,
  make: text,
  model: text,
  serial: text,
  lens: text,
  fNumber: positive,
  exposureTimeS: positive,
  iso: positive,
  focalLengthMm: positive,
  focalLength35mm: positive,
  /** Bit 0 of the EXIF Flash field. */
  flashFired: z.boolean().nullable(),
  whiteBalance: z.enum(['auto', 'manual']).nullable(),
  colourTemperatureK: positive,
});
export type Capture = z.infer<typeof captureSchema>;
