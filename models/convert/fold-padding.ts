/**
 * Moves padding into the convolution or pool that reads it. As a step of its own it copies the whole picture, and it keeps
 * onnxruntime from holding the values blocked by channels from one convolution to the next.
 */
import { dataInputs, type GraphModel, parseValue, type SourceNode } from './graph-model.ts';

/** What each operator itself takes for the places beyond the edge. */
const ownFill: Readonly<Record<string, number>> = {
  _FusedConv2D: 0,
  Conv2D: 0,
  DepthwiseConv2dNative: 0,
  FusedDepthwiseConv2dNative: 0,
  MaxPool: Number.NEGATIVE_INFINITY,
};

/** Minus infinity as an IEEE 754 binary16 pattern. */
const halfMinusInfinity = 0xfc00;

const encode = (text: string): string => Buffer.from(text, 'utf8').toString('base64');

/** How often each node is read, by other nodes and as an output of the graph. */
function countReaders({ nodes, outputs }: GraphModel): ReadonlyMap<string, number> {
  const counts = new Map<string, number>();
  for (const value of [...nodes.flatMap(dataInputs), ...outputs.map((port) => port.value)]) {
    const { node } = parseValue(value);
    counts.set(node, (counts.get(node) ?? 0) + 1);
  }
  return counts;
}

/** Reads what stands before a node; `null` where it is not the constant that was asked for. */
function createReader({ nodes, constants }: GraphModel) {
  const byName = new Map(nodes.map((node) => [node.name, node]));
  const sourceName = (node: SourceNode, index: number): string =>
    parseValue(dataInputs(node)[index] ?? '').node;
  return {
    before: (node: SourceNode): SourceNode | null => byName.get(sourceName(node, 0)) ?? null,
    integers(node: SourceNode): readonly number[] | null {
      const data = constants.get(sourceName(node, 1))?.data;
      return data?.type === 'int32' ? [...data.values] : null;
    },
    fill(pad: SourceNode): number | null {
      if (pad.op === 'Pad') return 0;
      const data = pad.op === 'PadV2' ? constants.get(sourceName(pad, 2))?.data : undefined;
      if (data?.type === 'float32') return data.values[0] ?? null;
      return data?.type === 'float16' && data.bits[0] === halfMinusInfinity ? Number.NEGATIVE_INFINITY : null;
    },
  };
}

/** Padding of height and width as `EXPLICIT` lists it, `null` where batch or channels are padded too. */
function explicitPadding(pairs: readonly number[], axes: readonly number[]): readonly number[] | null {
  const padding = axes.flatMap((axis) => pairs.slice(2 * axis, 2 * axis + 2));
  return [...padding.slice(0, 2), ...padding.slice(6)].some((count) => count !== 0) ? null : padding;
}

/** A pool takes less padding than its window is large (onnxruntime refuses others); a convolution takes any. */
function takes(node: SourceNode, padding: readonly number[]): boolean {
  const window = node.attr.ksize?.list?.i;
  return window === undefined || padding.every((count, index) => count === 0 || count < window[index >> 1]!);
}

/**
 * Padding before a node that has none of its own (`VALID`) and would fill in the same number becomes that node's `EXPLICIT`
 * padding, where nothing else reads it; one transposition may stand between the two.
 */
export function foldPadding(model: GraphModel): GraphModel {
  const readers = countReaders(model);
  const reader = createReader(model);
  const folded = new Map<string, string>();
  const explicit = new Map<string, SourceNode['attr']>();

  for (const node of model.nodes) {
    const fill = ownFill[node.op];
    const before = reader.before(node);
    if (fill === undefined || before === null || node.attr.padding?.s !== encode('VALID')) continue;
    const transposed = before.op === 'Transpose';
    const pad = transposed ? reader.before(before) : before;
    if (pad === null || reader.fill(pad) !== fill) continue;
    if (readers.get(before.name) !== 1 || readers.get(pad.name) !== 1) continue;
    const pairs = reader.integers(pad);
    const axes = transposed ? reader.integers(before) : [0, 1, 2, 3];
    const padding = pairs === null || axes === null ? null : explicitPadding(pairs, axes);
    if (padding === null || !takes(node, padding)) continue;
    folded.set(pad.name, dataInputs(pad)[0]!);
    explicit.set(node.name, {
      padding: { s: encode('EXPLICIT') },
      explicit_paddings: { list: { i: [...padding] } },
    });
  }
  return {
    ...model,
    nodes: model.nodes
      .filter(({ name }) => !folded.has(name))
      .map((node) => ({
        ...node,
        input: node.input.map((value) => folded.get(parseValue(value).node) ?? value),
        attr: { ...node.attr, ...explicit.get(node.name) },
      })),
  };
}
