/** Tells what bytes are from their first few, whatever the file is called (signatures: each format's own specification). */

/** Formats that are decoded where the image library's build can. */
export type PictureFormat = 'jpeg' | 'png' | 'tiff' | 'webp' | 'avif' | 'heic' | 'gif';

export type Sniffed =
  | { readonly kind: 'picture'; readonly format: PictureFormat }
  /** A picture or document of a kind that is not read; `what` and `why` fit the sentence of `format-not-read`. */
  | { readonly kind: 'other'; readonly what: string; readonly why: string }
  /** Not a picture; `what` fits "the bytes are ...". */
  | { readonly kind: 'none'; readonly what: string };

/** How formats are called in sentences. */
export const formatNames: Readonly<Record<PictureFormat, string>> = {
  jpeg: 'JPEG',
  png: 'PNG',
  tiff: 'TIFF',
  webp: 'WebP',
  avif: 'AVIF',
  heic: 'HEIC',
  gif: 'GIF',
};

const isRaw = 'it holds sensor values that need developing first';
const notBuiltIn = 'no decoder for it is built in';

type Signature = readonly [offset: number, bytes: string, result: Sniffed];

const picture = (format: PictureFormat): Sniffed => ({ kind: 'picture', format });
const raw = (maker: string): Sniffed => ({ kind: 'other', what: `a camera raw file (${maker})`, why: isRaw });
const other = (what: string, why: string): Sniffed => ({ kind: 'other', what, why });
const none = (what: string): Sniffed => ({ kind: 'none', what });

/** In order: raw files that begin like a TIFF come before TIFF. Bytes as Latin-1. */
const signatures: readonly Signature[] = [
  [0, '\xff\xd8\xff', picture('jpeg')],
  [0, '\x89PNG\r\n\x1a\n', picture('png')],
  [8, 'CR\x02\0', raw('CR2')],
  [0, 'IIRO', raw('ORF')],
  [0, 'IIRS', raw('ORF')],
  [0, 'MMOR', raw('ORF')],
  [0, 'IIU\0', raw('RW2')],
  [0, 'FUJIFILMCCD-RAW', raw('RAF')],
  [0, 'FOVb', raw('X3F')],
  [0, '\0MRM', raw('MRW')],
  [4, 'ftypcrx ', raw('CR3')],
  [0, 'II\xbc\x01', other('a JPEG XR picture', notBuiltIn)],
  [0, 'II*\0', picture('tiff')],
  [0, 'MM\0*', picture('tiff')],
  [0, 'II+\0', picture('tiff')],
  [0, 'MM\0+', picture('tiff')],
  [0, 'GIF8', picture('gif')],
  [8, 'WEBP', picture('webp')],
  [4, 'ftypavif', picture('avif')],
  [4, 'ftypavis', picture('avif')],
  [4, 'ftyphei', picture('heic')],
  [4, 'ftyphev', picture('heic')],
  [4, 'ftypmif1', picture('heic')],
  [4, 'ftypmsf1', picture('heic')],
  [4, 'ftyp', none('a video')],
  [0, '8BPS', other('a layered image document (PSD)', 'it has to be flattened first')],
  [0, '\xff\x0a', other('a JPEG XL picture', notBuiltIn)],
  [0, '\0\0\0\x0cJXL ', other('a JPEG XL picture', notBuiltIn)],
  [0, '\0\0\0\x0cjP  ', other('a JPEG 2000 picture', notBuiltIn)],
  [0, '\xff\x4f\xff\x51', other('a JPEG 2000 picture', notBuiltIn)],
  [0, 'BM', other('a Windows bitmap (BMP)', notBuiltIn)],
  [0, '%PDF-', none('a PDF document')],
  [0, 'PK\x03\x04', none('a ZIP archive or an office document')],
  [0, 'Rar!\x1a\x07', none('a RAR archive')],
  [0, '7z\xbc\xaf\x27\x1c', none('a 7z archive')],
  [0, '\x1f\x8b', none('a gzip archive')],
  [0, 'RIFF', none('sound or video')],
  [0, '\x7fELF', none('a program')],
  [0, 'MZ', none('a program')],
];

export function sniffFormat(bytes: Uint8Array): Sniffed {
  const start = String.fromCharCode(...bytes.subarray(0, 32));
  const found = signatures.find(([offset, signature]) => start.startsWith(signature, offset));
  if (found !== undefined) return found[2];
  const head = bytes.subarray(0, 1024);
  if (head.every((byte) => byte === 0)) return none('nothing but zeros, as a failed copy leaves them');
  return none(textKind(head) ?? 'of no kind known here');
}

function textKind(head: Uint8Array): string | null {
  let text: string;
  try {
    // Streaming: a character cut in two by the end of `head` is no error.
    text = new TextDecoder('utf-8', { fatal: true }).decode(head, { stream: true });
  } catch {
    return null;
  }
  // biome-ignore lint/suspicious/noControlCharactersInRegex: text has none of these
  if (/[\u0000-\u0008\u000e-\u001a\u001c-\u001f]/.test(text)) return null;
  if (/^\s*(<\?xml[^>]*>\s*)?(<!--.*?-->\s*)?(<!doctype svg|<svg)/is.test(text))
    return 'a vector drawing (SVG)';
  if (/^\s*(<!doctype html|<html)/i.test(text)) return 'a web page';
  return 'plain text';
}
