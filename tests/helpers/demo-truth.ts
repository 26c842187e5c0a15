/** What the renderer knows about the frames of the demo shoot: `samples/truth`, explained in `samples/README.md`. */
import { readdirSync, readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import type { Box } from '../../pipeline/contracts/box.ts';

export interface TruePerson {
  readonly role: 'model' | 'passer-by';
  readonly box: Box;
  /** Run lengths row by row, the first run outside the person. */
  readonly mask: { readonly rows: number; readonly columns: number; readonly runs: readonly number[] };
}

export interface TrueFrame {
  /** As the delivery names it. */
  readonly frame: string;
  readonly crop: 'full' | 'knee' | 'waist' | 'detail';
  readonly view: 'front' | 'three-quarter' | 'side' | 'back' | 'detail';
  /** Ids of the checks that have to find something; empty on a frame without a fault. */
  readonly planted: readonly string[];
  /** Diameter of the lens's blur disc, px. */
  readonly blurDiscPx: { readonly eyes: number; readonly garment: number; readonly background: number };
  /** Length of the straight path of the image during the exposure, px; 0 where nothing moved. */
  readonly motionPx: number;
  /** Standard deviation of the smoothing that takes specks of the renderer out of what the lens has blurred, px; mostly 0. */
  readonly smoothedPx: number;
  readonly light: Readonly<Record<string, { readonly kelvin: number }>>;
  readonly whiteBalanceK: number;
  readonly people: readonly TruePerson[];
  /** Of the upright frame, px. */
  readonly size: readonly [width: number, height: number];
}

const samples = new URL('../../samples/', import.meta.url);

export const deliveryFolder = fileURLToPath(new URL('delivery/', samples));

/** Every frame of the plan, in the order of its name. */
export function trueFrames(): readonly TrueFrame[] {
  return readdirSync(new URL('truth/', samples), { recursive: true, encoding: 'utf8' })
    .filter((name) => name.endsWith('.json'))
    .sort()
    .map((name) => JSON.parse(readFileSync(new URL(`truth/${name}`, samples), 'utf8')) as TrueFrame);
}

export const garmentOf = ({ frame }: TrueFrame): string => frame.split('/')[0] ?? '';

/** Whether each cell of a mask is inside, row by row. */
export function unrolled({ rows, columns, runs }: TruePerson['mask']): boolean[] {
  const cells = runs.flatMap((length, index) => Array<boolean>(length).fill(index % 2 === 1));
  return Array.from({ length: rows * columns }, (_, at) => cells[at] ?? false);
}
