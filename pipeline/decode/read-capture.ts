/** EXIF fields into what the camera did (field numbers and meanings: CIPA DC-008 Exif 2.32, table 4 and annexes). */
import { cleanText } from '../contracts/clean-text.ts';
import type { Capture, FileFacts } from '../contracts/measurement/file.ts';
import type { MakerFacts } from './maker-note.ts';
import type { ExifBlocks, Fields } from './read-exif.ts';
import { xmpValue } from './xmp-value.ts';

const field = {
  make: 0x010f,
  model: 0x0110,
  /** DNG CameraSerialNumber, in the first directory. */
  dngSerial: 0xc62f,
  exposureTime: 0x829a,
  fNumber: 0x829d,
  /** PhotographicSensitivity: 16 bits, 65535 means "look at the next four". */
  sensitivity: 0x8827,
  sensitivityType: 0x8830,
  standardOutputSensitivity: 0x8831,
  recommendedExposureIndex: 0x8832,
  isoSpeed: 0x8833,
  takenAt: 0x9003,
  digitisedAt: 0x9004,
  offsetTaken: 0x9011,
  offsetDigitised: 0x9012,
  fractionTaken: 0x9291,
  fractionDigitised: 0x9292,
  shutterSpeedValue: 0x9201,
  apertureValue: 0x9202,
  flash: 0x9209,
  focalLength: 0x920a,
  colorSpace: 0xa001,
  whiteBalance: 0xa403,
  focalLength35mm: 0xa405,
  bodySerial: 0xa431,
  lensSpecification: 0xa432,
  lensModel: 0xa434,
} as const;

/** InteroperabilityIndex, Exif 2.32 annex A. */
const interoperabilityIndex = 0x0001;

/** @param xmp packet of a raw converter: asked for what EXIF and the maker's block leave open. */
export function captureOf(blocks: ExifBlocks, maker: MakerFacts, xmp?: Buffer): Capture {
  const { image } = blocks;
  // TIFF/EP (ISO 12234-2) keeps these fields in the first directory, as some editors do in JPEG.
  const exif = { ...image, ...blocks.exif };
  return {
    takenAt:
      timestamp(exif, field.takenAt, field.fractionTaken, field.offsetTaken) ??
      timestamp(exif, field.digitisedAt, field.fractionDigitised, field.offsetDigitised),
    make: text(image[field.make]),
    model: text(image[field.model]),
    serial:
      text(exif[field.bodySerial]) ??
      text(image[field.dngSerial]) ??
      text(maker.serial) ??
      text(xmpValue(xmp, 'aux:SerialNumber')),
    lens:
      text(exif[field.lensModel]) ??
      text(xmpValue(xmp, 'aux:Lens')) ??
      lensFromSpecification(exif[field.lensSpecification]),
    // APEX (Exif 2.32 annex C): N = 2^(Av/2), t = 2^(-Tv).
    fNumber: positive(exif[field.fNumber]) ?? power(exif[field.apertureValue], 0.5, 0.5, 128),
    exposureTimeS: positive(exif[field.exposureTime]) ?? power(exif[field.shutterSpeedValue], -1, 1e-6, 1e5),
    iso: sensitivity(exif),
    focalLengthMm: positive(exif[field.focalLength]),
    focalLength35mm: positive(exif[field.focalLength35mm]),
    flashFired: flashFired(exif[field.flash]),
    whiteBalance: whiteBalances[whole(exif[field.whiteBalance]) ?? -1] ?? null,
    colourTemperatureK: maker.colourTemperatureK ?? developedTemperature(xmp),
  };
}

const whiteBalances = ['auto', 'manual'] as const;

/** Temperature a raw converter developed with; the property was renamed in 2008, both are in use. */
function developedTemperature(xmp: Buffer | undefined): number | null {
  const value = xmpValue(xmp, 'crs:Temperature') ?? xmpValue(xmp, 'crs:ColorTemperature');
  return value !== null && /^\d{4,5}$/.test(value) ? Number(value) : null;
}

/** DCF 2.0: an option file (`R03`) that says "uncalibrated" is Adobe RGB; 2 is written by some cameras for the same. */
export function cameraColourSpaceOf({ exif, interoperability }: ExifBlocks): FileFacts['cameraColourSpace'] {
  const space = whole(exif[field.colorSpace]);
  const optionFile = text(interoperability[interoperabilityIndex]) === 'R03';
  if (space === 1) return 'srgb';
  if (space === 2 || (space === 0xffff && optionFile)) return 'adobe-rgb';
  return space === 0xffff ? 'uncalibrated' : null;
}

function text(value: unknown): string | null {
  if (typeof value !== 'string') return null;
  const clean = cleanText(value, 100);
  return clean === '' ? null : clean;
}

/** The value, or the first of several. */
function number(value: unknown): number | null {
  const first: unknown = typeof value === 'object' && value !== null ? (value as Fields)[0] : value;
  return typeof first === 'number' && Number.isFinite(first) ? first : null;
}

/** 0 stands for "unknown" in every field read here. */
function positive(value: unknown): number | null {
  const found = number(value);
  return found !== null && found > 0 ? found : null;
}

function whole(value: unknown): number | null {
  const found = number(value);
  return found !== null && Number.isInteger(found) && found >= 0 ? found : null;
}

/** 2^(value * factor) to six significant digits, where it lies within what a camera can do. */
function power(value: unknown, factor: number, least: number, most: number): number | null {
  const apex = number(value);
  if (apex === null) return null;
  const result = Number((2 ** (apex * factor)).toPrecision(6));
  return result >= least && result <= most ? result : null;
}

/** Bit 0 of the Flash field. */
function flashFired(value: unknown): boolean | null {
  const flash = whole(value);
  return flash === null ? null : (flash & 1) === 1;
}

const sensitivityCeiling = 65535;

/** Exif 2.32, 4.6.5 annex G: above 65534 the true value stands in the field that SensitivityType names. */
function sensitivity(exif: Fields): number | null {
  const short = positive(exif[field.sensitivity]);
  if (short !== null && short < sensitivityCeiling) return short;
  return (
    positive(exif[field.recommendedExposureIndex]) ??
    positive(exif[field.standardOutputSensitivity]) ??
    positive(exif[field.isoSpeed]) ??
    short
  );
}

function timestamp(exif: Fields, date: number, fraction: number, offset: number): string | null {
  const stored = exif[date];
  if (typeof stored !== 'string') return null;
  const parts = /^\s*(\d{4})[:/-](\d{2})[:/-](\d{2})[ T](\d{2}):(\d{2}):(\d{2})\s*\0*$/
    .exec(stored)
    ?.slice(1);
  if (parts === undefined || !isDate(parts.map(Number))) return null;
  const [year, month, day, hour, minute, second] = parts;
  const digits = /^\s*(\d{1,9})\s*\0*$/.exec(String(exif[fraction] ?? ''))?.[1];
  const local = `${year}-${month}-${day}T${hour}:${minute}:${second}`;
  return `${local}${digits === undefined ? '' : `.${digits}`}${offsetOf(exif[offset])}`;
}

function isDate([
  year = 0,
  month = 0,
  day = 0,
  hour = 0,
  minute = 0,
  second = 0,
]: readonly number[]): boolean {
  const date = new Date(Date.UTC(year, month - 1, day, hour, minute, second));
  return (
    year >= 1000 &&
    date.getUTCMonth() === month - 1 &&
    date.getUTCDate() === day &&
    date.getUTCHours() === hour &&
    date.getUTCMinutes() === minute
  );
}

/** `+02:00` or an empty text; zones reach from -12:00 to +14:00. */
function offsetOf(value: unknown): string {
  const parts = /^\s*([+-])(\d{2}):(\d{2})\s*\0*$/.exec(typeof value === 'string' ? value : '');
  if (parts === null) return '';
  const minutes = Number(parts[2]) * 60 + Number(parts[3]);
  const most = parts[1] === '-' ? 12 * 60 : 14 * 60;
  return minutes <= most && Number(parts[3]) < 60 ? `${parts[1]}${parts[2]}:${parts[3]}` : '';
}

/** LensSpecification: shortest and longest focal length in mm, and the widest f-number at each; 0/0 is unknown. */
function lensFromSpecification(value: unknown): string | null {
  if (typeof value !== 'object' || value === null) return null;
  const [short, long, wideShort, wideLong] = [0, 1, 2, 3].map((i) => positive((value as Fields)[i]));
  if (short === null || short === undefined || long === null || long === undefined) return null;
  const range = (a: number, b: number): string => (a === b ? `${a}` : `${a}-${b}`);
  const aperture = wideShort && wideLong ? ` f/${range(wideShort, wideLong)}` : '';
  return `${range(short, long)} mm${aperture}`;
}
