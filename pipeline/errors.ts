/**
 * Every error the product raises on purpose: one table, one class.
 * Branch on `code` or `kind`, never on text. A code is never reused for another meaning.
 */

/** `frame`: costs one frame, which becomes unreadable. `usage`: the command, profile or sheet is wrong (exit 2). `run`: the run could not be completed (exit 3). */
export type ErrorKind = 'frame' | 'usage' | 'run';

interface ErrorForm<F> {
  readonly kind: ErrorKind;
  /** One or two plain sentences: what is wrong and what to do. */
  readonly sentence: (facts: F) => string;
}

function form<F = Record<never, never>>(kind: ErrorKind, sentence: (facts: F) => string): ErrorForm<F> {
  return { kind, sentence };
}

export const errorTable = {
  'empty-file': form('frame', () => 'The file is empty (0 bytes): copy it again from the camera card.'),
  'not-a-picture': form<{ what: string }>(
    'frame',
    ({ what }) => `This is not a picture: the bytes are ${what}. Deliver a JPEG, PNG, TIFF or WebP file.`,
  ),
  'format-not-read': form<{ what: string; why: string }>(
    'frame',
    ({ what, why }) =>
      `The file is ${what}, which cannot be read here: ${why}. Deliver it as JPEG, PNG, TIFF or WebP.`,
  ),
  'too-many-pixels': form<{ width: number; height: number; limitMpx: number }>(
    'frame',
    ({ width, height, limitMpx }) =>
      `The picture is ${width} x ${height} px (${Math.round((width * height) / 1e6)} Mpx), above the limit of ${limitMpx} Mpx: deliver it smaller.`,
  ),
  'cut-off': form<{ format: string }>(
    'frame',
    ({ format }) => `The ${format} file is cut off before its end: copy it again from the camera card.`,
  ),
  'damaged-picture': form<{ format: string; detail: string }>(
    'frame',
    ({ format, detail }) =>
      `The ${format} file is damaged and cannot be decoded (${detail}): copy it again or export it anew.`,
  ),
} as const;

export type ErrorCode = keyof typeof errorTable;
type Facts<C extends ErrorCode> = Parameters<(typeof errorTable)[C]['sentence']>[0];

export class CodedError extends Error {
  readonly code: ErrorCode;
  readonly kind: ErrorKind;

  constructor(code: ErrorCode, message: string, cause?: unknown) {
    super(message, cause === undefined ? undefined : { cause });
    this.name = 'CodedError';
    this.code = code;
    this.kind = errorTable[code].kind;
  }
}

/** The error of that code, with its sentence filled in. `cause` keeps what a library said. */
export function codedError<C extends ErrorCode>(code: C, facts: Facts<C>, cause?: unknown): CodedError {
  const sentence = errorTable[code].sentence as (facts: Facts<C>) => string;
  return new CodedError(code, sentence(facts), cause);
}
