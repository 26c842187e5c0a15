/**
 * The loops that run over millions of samples a frame, as WebAssembly with SIMD. Their sources, in AssemblyScript, are compiled when a
 * process first meets them and kept in `node_modules/.cache`; nothing is fetched.
 */
import { createHash, randomUUID } from 'node:crypto';
import { mkdirSync, readdirSync, readFileSync, renameSync, writeFileSync } from 'node:fs';

/** Addresses are bytes of `memory`; see `assembly/` for what each loop does. */
interface Kernels {
  readonly memory: WebAssembly.Memory;
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
}

const folder = new URL('assembly/', import.meta.url);
const cache = new URL('../../node_modules/.cache/nightrail/', import.meta.url);

async function compile(sources: Readonly<Record<string, string>>): Promise<Uint8Array<ArrayBuffer>> {
  const { default: asc } = await import('assemblyscript/asc');
  const { binary, stderr } = await asc.compileString(sources, {
    optimizeLevel: 3,
    enable: ['simd'],
    runtime: 'stub',
    noAssert: true,
  });
  if (binary === null) throw new Error(`The loops of ${folder.pathname} were not compiled: ${stderr}`);
  return new Uint8Array(binary);
}

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

async function binaryOf(sources: Readonly<Record<string, string>>): Promise<Uint8Array<ArrayBuffer>> {
  const state = createHash('sha256').update(JSON.stringify(sources)).digest('hex').slice(0, 16);
  const file = new URL(`kernels-${state}.wasm`, cache);
  try {
    return readFileSync(file);
  } catch {
    const binary = await compile(sources);
    keep(file, binary);
    return new Uint8Array(binary);
  }
}

const names = readdirSync(folder).filter((name) => name.endsWith('.ts'));
const sources = Object.fromEntries(
  names.sort().map((name) => [name, readFileSync(new URL(name, folder), 'utf8')]),
);
const { instance } = await WebAssembly.instantiate(await binaryOf(sources));

export const kernels = instance.exports as unknown as Kernels;

/** Numbers that lie in the kernels' memory. */
type Numbers = Uint8Array | Int32Array | Float32Array | Float64Array;

const pageBytes = 65_536;
/** SIMD reads 16 bytes at a time, fastest where they begin at a multiple of it; room is left for reading and writing over the end. */
export const alignment = 16;

/**
 * Room in the kernels' memory for one call after the other: a new `Room` takes the place of the one before it. Ask for all of it before
 * `view`, since the memory moves where it has to grow.
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

/** 32-bit floating point in the kernels' memory, until it grows. */
export const floatsAt = (at: number, length: number): Float32Array =>
  new Float32Array(kernels.memory.buffer, at, length);
