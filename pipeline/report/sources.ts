import type { FrameResult } from '../contracts/results.ts';
import { picturesFolder, smallest } from './links.ts';

/** What a document needs besides the results. The caller reads it: documents touch no files. */
export interface Sources {
  /**
   * Bytes of a JPEG that the run puts into the output folder; `null` where it is gone.
   * @param path relative to the output folder, `/` between folders.
   */
  readPicture(path: string): Promise<Uint8Array | null>;
  /** TrueType fonts, whole files: a PDF reader has none of its own beyond Western letters. */
  readonly fonts: { readonly regular: Uint8Array; readonly bold: Uint8Array };
}

export interface SmallPicture {
  readonly frame: string;
  readonly bytes: Uint8Array;
  /** px */
  readonly width: number;
  readonly height: number;
}

/** The small picture of a frame; the larger one in results that have none; `null` where there is no picture at all. */
export async function smallPicture(
  frame: FrameResult | undefined,
  sources: Sources,
): Promise<SmallPicture | null> {
  const picture = frame?.measurement && smallest(frame.measurement.pictures);
  if (!frame?.measurement || !picture) return null;
  const bytes = await sources.readPicture(`${picturesFolder(frame.measurement.contentHash)}/${picture.file}`);
  return bytes && { frame: frame.id, bytes, width: picture.width, height: picture.height };
}
