/**
 * The loops that run over millions of samples a frame, as WebAssembly with SIMD. Their sources, in AssemblyScript, are compiled when a
 * process first meets them and kept in `node_modules/.cache`; nothing is fetched.
 */
import { execFileSync } from 'node:child_process';
import { createHash, randomUUID } from 'node:crypto';
import { mkdirSync, readdirSync, readFileSync, renameSync, writeFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';

/** Addresses are bytes of `memory`; see `assembly/` for what each loop does. */
interface Kernels {
  readonly memory: WebAssembly.Memory;
  findEnd(from: number, end: number): number;
  addLuminance(rgb: number, count: number, tables: number, cells: number, sums: number): void;
  countRoots(
    rgb: number,
    count: number,
    tables: number,
    mask: number,
    least: number,
    bins: number,
    histogram: number,
  ): void;
  labelCells(
    one: number,
    other: number,
    least: number,
    columns: number,
    rows: number,
    columnsIn: number,
    rowsIn: number,
    labels: number,
    weights: number,
  ): void;
  flatSamples(
    rgb: number,
    columns: number,
    rows: number,
    least: number,
    most: number,
    step: number,
    sums: number,
    into: number,
  ): void;
  boxBlur(
    plane: number,
    columns: number,
    rows: number,
    reach: number,
    perColumn: number,
    perRow: number,
    across: number,
    sums: number,
  ): void;
  blockMeans(plane: number, columns: number, rows: number, step: number, sums: number, into: number): void;
  products(one: number, other: number, cells: number, into: number): void;
  fitLines(
    guide: number,
    offset: number,
    slope: number,
    square: number,
    variance: number,
    cells: number,
  ): void;
  applyLines(
    slope: number,
    offset: number,
    length: number,
    above: number,
    below: number,
    part: number,
    left: number,
    right: number,
    share: number,
    lines: number,
    guide: number,
    columns: number,
    rows: number,
  ): void;
  lumaOfBytes(rgb: number, count: number, into: number): void;
  mixRows(
    source: number,
    stride: number,
    weights: number,
    rows: number,
    outside: number,
    samples: number,
    sums: number,
  ): void;
  mixColumns(
    sums: number,
    places: number,
    first: number,
    count: number,
    weights: number,
    perPlace: number,
    outside: number,
    into: number,
  ): void;
  gradientRow(
    plane: number,
    stride: number,
    count: number,
    rows: number,
    rowBytes: number,
    across: number,
    down: number,
    square: number,
  ): void;
  maximaOfRow(
    across: number,
    down: number,
    square: number,
    width: number,
    index: number,
    count: number,
    least: number,
    found: number,
  ): number;
}

const compiler = new URL('compile.js', import.meta.url);
const folder = new URL('assembly/', import.meta.url);
const sources = [
  compiler,
  ...readdirSync(folder)
    .sort()
    .map((name) => new URL(name, folder)),
];
const cache = new URL('../../node_modules/.cache/nightrail/', import.meta.url);

/** Whole or not there: several processes may start at once. */
function keep(file: URL, binary: Uint8Array): void {
  const making = new URL(`${randomUUID()}.tmp`, cache);
  try {
    mkdirSync(cache, { recursive: true });
    writeFileSync(making, binary);
    renameSync(making, file);
  } catch {
    // A folder that may only be read: compiled anew at each start.
  }
}

function binary(): Uint8Array<ArrayBuffer> {
  const state = createHash('sha256');
  for (const source of sources) state.update(readFileSync(source));
  const file = new URL(`kernels-${state.digest('hex').slice(0, 16)}.wasm`, cache);
  try {
    return readFileSync(file);
  } catch {
    const compiled = execFileSync(process.execPath, [fileURLToPath(compiler)], { stdio: 'pipe' });
    keep(file, compiled);
    return compiled;
  }
}

const { instance } = await WebAssembly.instantiate(binary());

export const kernels = instance.exports as unknown as Kernels;

/** Numbers that lie in the kernels' memory. */
type Numbers = Uint8Array | Int32Array | Float32Array | Float64Array;

const pageBytes = 65_536;
/** SIMD reads 16 bytes at a time, fastest where they begin at a multiple of it; room is left for reading and writing over the end. */
export const alignment = 16;

/**
 * Room in the kernels' memory for one call after the other: a new `Room` takes the place of the one before it. Ask for all of it before
 * `bytesAt` and `floatsAt`, since the memory moves where it has to grow.
 */
export class Room {
  private end = alignment;

  /** @returns the address of so many bytes, of any content. */
  take(bytes: number): number {
    const at = this.end;
    this.end += Math.ceil(bytes / alignment) * alignment;
    const missing = this.end - kernels.memory.buffer.byteLength;
    if (missing > 0) kernels.memory.grow(Math.ceil(missing / pageBytes));
    return at;
  }

  /** @returns the address of a copy. */
  put(numbers: Numbers): number {
    const at = this.take(numbers.byteLength);
    bytesAt(at, numbers.byteLength).set(
      new Uint8Array(numbers.buffer, numbers.byteOffset, numbers.byteLength),
    );
    return at;
  }
}

/** Bytes of the kernels' memory, until it grows. */
export const bytesAt = (at: number, length: number): Uint8Array =>
  new Uint8Array(kernels.memory.buffer, at, length);

/** 32-bit whole numbers in the kernels' memory, until it grows. */
export const integersAt = (at: number, length: number): Int32Array =>
  new Int32Array(kernels.memory.buffer, at, length);

/** 32-bit floating point in the kernels' memory, until it grows. */
export const floatsAt = (at: number, length: number): Float32Array =>
  new Float32Array(kernels.memory.buffer, at, length);

/** 64-bit floating point in the kernels' memory, until it grows. */
export const doublesAt = (at: number, length: number): Float64Array =>
  new Float64Array(kernels.memory.buffer, at, length);
