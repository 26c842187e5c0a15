/** EXIF fields by number, read with exifr; every failure is an empty answer, as hostile EXIF must never cost a frame. */
import exifr from 'exifr';

/** Field number to value as stored: a number, a text, or an array-like of numbers. */
export type Fields = Readonly<Record<number, unknown>>;

export interface ExifBlocks {
  /** First directory: make, model, serial in DNG. */
  readonly image: Fields;
  readonly exif: Fields;
  readonly interoperability: Fields;
}

const none: ExifBlocks = { image: {}, exif: {}, interoperability: {} };

/** Names and values stay as stored: exifr's own reading of dates takes this machine's zone and drops the offset. */
const options = {
  tiff: true,
  ifd0: {},
  ifd1: false,
  exif: true,
  gps: false,
  interop: true,
  makerNote: false,
  userComment: false,
  xmp: false,
  icc: false,
  iptc: false,
  jfif: false,
  ihdr: false,
  sanitize: true,
  reviveValues: false,
  translateValues: false,
  translateKeys: false,
  mergeOutput: false,
};

/** `block`: a TIFF file, or the EXIF block of another file with or without its `Exif\0\0` mark. */
export async function readExif(block: Buffer): Promise<ExifBlocks> {
  const marked = block.toString('latin1', 0, 6) === 'Exif\0\0';
  try {
    const found: unknown = await exifr.parse(marked ? block.subarray(6) : block, options);
    return {
      image: fieldsOf(found, 'ifd0'),
      exif: fieldsOf(found, 'exif'),
      interoperability: fieldsOf(found, 'interop'),
    };
  } catch {
    // exifr throws plain errors of every kind on damaged blocks; nothing of theirs is usable.
    return none;
  }
}

function fieldsOf(found: unknown, block: string): Fields {
  if (typeof found !== 'object' || found === null) return {};
  const fields = (found as Record<string, unknown>)[block];
  return typeof fields === 'object' && fields !== null ? (fields as Fields) : {};
}
