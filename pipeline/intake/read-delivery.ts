/** A delivery folder, and a garment sheet if there is one, into garments and their frames. */
import { stat } from 'node:fs/promises';
import { basename, join, resolve } from 'node:path';
import type { DeliveredFrame, DeliveredGarment, Delivery } from '../contracts/delivery.ts';
import { codedError } from '../errors.ts';
import { isFromCards } from './by-capture/camera-files.ts';
import { readGarmentSheet, type SheetRow } from './garment-sheet.ts';
import { literalPattern, matches } from './glob.ts';
import { groupFrames } from './group-frames.ts';
import { naturalOrder } from './natural-order.ts';
import { codeOf, show, walkDelivery } from './walk-delivery.ts';

export interface DeliveryOptions {
  /** Path of the garment sheet. */
  readonly sheet?: string;
  /** Output folder of the run: left out of the delivery where it lies inside. */
  readonly out?: string;
  /**
   * Without a sheet: by folders and names, or by tags and capture times once frames are measured. Default: the latter only where
   * the folder comes straight from the cards.
   */
  readonly grouping?: 'names' | 'capture';
}

/**
 * Garment = first-level subfolder; frames in no folder by the start of their names (`prefixOf`); with a sheet, its
 * rows, and frames in no row grouped as without a sheet. Nothing is opened but the sheet.
 *
 * @throws CodedError of kind `usage`: the folder cannot be read or holds no picture, or the sheet is wrong.
 */
export async function readDelivery(root: string, options: DeliveryOptions = {}): Promise<Delivery> {
  const absolute = resolve(root);
  const sheet = options.sheet === undefined ? null : await readGarmentSheet(options.sheet);
  const { pictures, remarks } = await list(absolute, options.out);
  if (pictures.length === 0) throw codedError('delivery-empty', { path: root });
  const frames = [...pictures].sort(naturalOrder);
  const name = basename(absolute) || 'delivery';
  const grouped =
    sheet === null ? withoutSheet(frames, name, options) : withSheet(frames, name, sheet, options.sheet!);
  const garmentOf = new Map(grouped.garments.flatMap(({ id, frames }) => frames.map((frame) => [frame, id])));
  return {
    root: absolute,
    garments: [...grouped.garments],
    frames: frames.map(
      (id): DeliveredFrame => ({ id, garment: garmentOf.get(id)!, path: join(absolute, id) }),
    ),
    grouping: grouped.grouping,
    remarks: [...remarks, ...grouped.remarks],
  };
}

async function list(root: string, out: string | undefined): ReturnType<typeof walkDelivery> {
  try {
    const facts = await stat(root);
    if (!facts.isDirectory())
      throw codedError('delivery-not-found', { path: root, what: 'it is not a folder' });
    return await walkDelivery(root, out);
  } catch (cause) {
    const code = codeOf(cause);
    if (code === null || !('syscall' in (cause as Error))) throw cause;
    const what = code === 'ENOENT' ? 'it is not there' : `it cannot be opened (${code})`;
    throw codedError('delivery-not-found', { path: root, what }, cause);
  }
}

interface Grouped {
  readonly garments: readonly DeliveredGarment[];
  readonly remarks: readonly string[];
  readonly grouping: NonNullable<Delivery['grouping']>;
}

function withoutSheet(frames: readonly string[], name: string, options: DeliveryOptions): Grouped {
  if (options.grouping === 'capture' || (options.grouping !== 'names' && isFromCards(frames)))
    return { garments: [asGarment({ id: name, frames })], remarks: [], grouping: 'capture' };
  return { garments: groupFrames(frames, name).map(asGarment), remarks: [], grouping: 'given' };
}

function asGarment({ id, frames }: { id: string; frames: readonly string[] }): DeliveredGarment {
  return { id, frames: [...frames], required: null, columns: {} };
}

function withSheet(
  frames: readonly string[],
  name: string,
  sheet: readonly SheetRow[],
  path: string,
): Grouped {
  const rowOf = new Map<string, SheetRow>();
  const remarks: string[] = [];
  const garments = sheet.map((row): DeliveredGarment => {
    const found = framesOf(row, frames, remarks);
    for (const frame of found) {
      const other = rowOf.get(frame);
      if (other !== undefined) {
        const what = `the frame ${show(frame)} is in row ${other.row} ("${other.garment}") already; a frame belongs to one garment`;
        throw codedError('sheet-row-wrong', { path, row: row.row, what });
      }
      rowOf.set(frame, row);
    }
    if (found.length === 0) {
      remarks.push(
        `Row ${row.row} of the garment sheet: no frame was delivered for the garment ${show(row.garment)}.`,
      );
    }
    return {
      id: row.garment,
      frames: found,
      required: row.required === null ? null : [...row.required],
      columns: { ...row.columns },
    };
  });
  const rest = frames.filter((frame) => !rowOf.has(frame));
  return {
    garments: [...garments, ...notInSheet(rest, name, garments, remarks)],
    remarks,
    grouping: 'given',
  };
}

function framesOf(row: SheetRow, frames: readonly string[], remarks: string[]): string[] {
  const found = new Set<string>();
  for (const { text, pattern } of row.globs) {
    // Brackets and braces occur in names, and a bare folder name stands for its files: the plain meaning is tried next.
    const plain = [
      literalPattern(text),
      literalPattern(text.replace(/\/$/, '')).map((path) => [...path, '**']),
    ];
    const hits = [pattern, ...plain].map((one) => frames.filter((frame) => matches(one, frame)));
    const first = hits.find((hit) => hit.length > 0);
    if (first === undefined && row.globs.length > 1) {
      remarks.push(`Row ${row.row} of the garment sheet: nothing in the delivery fits ${show(text)}.`);
    }
    for (const frame of first ?? []) found.add(frame);
  }
  return frames.filter((frame) => found.has(frame));
}

function notInSheet(
  rest: readonly string[],
  name: string,
  garments: readonly DeliveredGarment[],
  remarks: string[],
): readonly DeliveredGarment[] {
  if (rest.length === 0) return [];
  const taken = new Set(garments.map(({ id }) => id.normalize('NFC').toLowerCase()));
  const groups = groupFrames(rest, name).map(({ id, frames }) => {
    let free = id;
    while (taken.has(free.normalize('NFC').toLowerCase())) free = `${free} (not in the sheet)`;
    taken.add(free.normalize('NFC').toLowerCase());
    return asGarment({ id: free, frames });
  });
  const named = groups.slice(0, 5).map(({ id, frames }) => `${show(id)} (${frames.length})`);
  const more = groups.length > named.length ? ` and ${groups.length - named.length} more` : '';
  remarks.push(
    `${rest.length} ${rest.length === 1 ? 'frame stands' : 'frames stand'} in no row of the garment sheet and became garments of their own: ${named.join(', ')}${more}.`,
  );
  return groups;
}
