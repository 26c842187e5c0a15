/** What the image library could not do, in a sentence of ours: told from the bytes, never from the library's wording. */
import { cleanText } from '../contracts/clean-text.ts';
import { CodedError, codedError } from '../errors.ts';
import { endsEarly } from './ends-early.ts';
import { formatNames, type PictureFormat } from './sniff-format.ts';
import { readTiffFacts } from './tiff-directory.ts';

/** @param compression as the image library names it, where it could read that much. */
export function explainFailure(
  format: PictureFormat,
  bytes: Buffer,
  cause: unknown,
  compression?: string,
): CodedError {
  if (cause instanceof CodedError) return cause;
  const name = formatNames[format];
  if (endsEarly(format, bytes)) return codedError('cut-off', { format: name }, cause);
  if (format === 'heic' || compression === 'hevc') {
    return codedError(
      'format-not-read',
      {
        what: 'a HEIC picture',
        why: 'the image library is built without a decoder for its HEVC compression',
      },
      cause,
    );
  }
  const bits = format === 'tiff' ? (readTiffFacts(bytes)?.bitsPerSample ?? 8) : 8;
  if (![1, 2, 4, 8, 16].includes(bits)) {
    return codedError(
      'format-not-read',
      { what: `a TIFF with ${bits} bits a channel`, why: 'only 8 and 16 bits are decoded' },
      cause,
    );
  }
  const said = cause instanceof Error ? cause.message : String(cause);
  return codedError(
    'damaged-picture',
    { format: name, detail: cleanText(said.split('\n').at(-1) ?? '', 120) },
    cause,
  );
}
