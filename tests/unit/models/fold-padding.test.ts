import fc from 'fast-check';
import { InferenceSession, Tensor } from 'onnxruntime-node';
import { describe, expect, it } from 'vitest';
import { convertToOnnx } from '../../../models/convert/convert.ts';
import { foldPadding } from '../../../models/convert/fold-padding.ts';
import { type Constant, readGraphModel } from '../../../models/convert/graph-model.ts';
import { seededRandom } from '../../helpers/random.ts';
import { attributes, type SmallGraph, writeGraph } from '../../helpers/small-graph.ts';

const { ints, text, type } = attributes;
const random = seededRandom(23);
const noise = (length: number): number[] => Array.from({ length }, () => 2 * random() - 1);
const T = { T: type('DT_FLOAT') };
/** Before and after for each axis: one row above, two below, one column to the right. */
const rowsAndColumns = [0, 0, 1, 2, 0, 1, 0, 0];
const rowsAndColumnsLast = [0, 0, 0, 0, 1, 2, 0, 1];

interface Case {
  /** Before and after for each axis of the padded value. */
  readonly pairs?: readonly number[];
  readonly op?: string;
  readonly padding?: string;
  readonly channelsFirst?: boolean;
  readonly stride?: number;
  /** `null`: the operator without a fill of its own, which pads with zero. */
  readonly fill?: number | null;
  readonly outputs?: readonly string[];
}

/** Input [1, 5, 6, 16] (or its channels first), padding, and a convolution or pool of 3 x 2: enough channels to be blocked. */
function padded(one: Case): SmallGraph {
  const { op = 'Conv2D', padding = 'VALID', channelsFirst = false, stride = 1 } = one;
  const { fill = op === 'MaxPool' ? Number.NEGATIVE_INFINITY : null } = one;
  const reader = channelsFirst ? 't' : 'p';
  const attr = {
    ...T,
    padding: text(padding),
    strides: ints(1, stride, stride, 1),
    dilations: ints(1, 1, 1, 1),
    ...(op === 'MaxPool' ? { ksize: ints(1, 3, 2, 1) } : {}),
  };
  return {
    input: channelsFirst ? [1, 16, 5, 6] : [1, 5, 6, 16],
    constants: {
      pairs: { shape: [4, 2], values: one.pairs ?? rowsAndColumns, dtype: 'int32' },
      fill: { shape: [], values: [fill ?? 0] },
      order: { shape: [4], values: [0, 2, 3, 1], dtype: 'int32' },
      w: { shape: [3, 2, 16, op === 'Conv2D' ? 16 : 1], values: noise(op === 'Conv2D' ? 1536 : 96) },
    },
    nodes: {
      p:
        fill === null
          ? { op: 'Pad', inputs: ['x', 'pairs'], attr: T }
          : { op: 'PadV2', inputs: ['x', 'pairs', 'fill'], attr: T },
      ...(channelsFirst ? { t: { op: 'Transpose', inputs: ['p', 'order'], attr: T } } : {}),
      y: { op, inputs: op === 'MaxPool' ? [reader] : [reader, 'w'], attr },
    },
    outputs: one.outputs ?? ['y'],
  };
}

function foldedOperators(graph: SmallGraph): readonly string[] {
  const { json, weights } = writeGraph(graph);
  return foldPadding(readGraphModel(json, weights)).nodes.map(({ op }) => op);
}

async function run(graph: SmallGraph, values: Float32Array): Promise<readonly number[]> {
  const { json, weights } = writeGraph(graph);
  const session = await InferenceSession.create(convertToOnnx(json, weights, 'padded'), {
    intraOpNumThreads: 1,
  });
  const { out0 } = await session.run({ x: new Tensor('float32', values, [...graph.input]) });
  await session.release();
  return [...(out0!.data as Float32Array)];
}

describe('padding', () => {
  it.each([
    [{}],
    [{ fill: 0 }],
    [{ op: 'DepthwiseConv2dNative' }],
    [{ channelsFirst: true, pairs: rowsAndColumnsLast }],
    [{ op: 'MaxPool' }],
    [{ op: 'MaxPool', channelsFirst: true, pairs: rowsAndColumnsLast }],
  ])('goes into what reads it: %j', (one) => {
    expect(foldedOperators(padded(one))).not.toContain('Pad');
    expect(foldedOperators(padded(one))).not.toContain('PadV2');
  });

  it('goes into a pool where minus infinity is stored in 16 bits', () => {
    const { json, weights } = writeGraph(padded({ op: 'MaxPool' }));
    const model = readGraphModel(json, weights);
    const operatorsWith = (bits: number): readonly string[] => {
      const fill: Constant = { shape: [], data: { type: 'float16', bits: Uint16Array.of(bits) } };
      const constants = new Map([...model.constants, ['fill', fill] as const]);
      return foldPadding({ ...model, constants }).nodes.map(({ op }) => op);
    };
    // IEEE 754 binary16: 0xfc00 is minus infinity, 0xfbff the lowest finite number.
    expect(operatorsWith(0xfc00)).not.toContain('PadV2');
    expect(operatorsWith(0xfbff)).toContain('PadV2');
  });

  it.each<[string, Case]>([
    ['a pool would fill in its lowest value', { op: 'MaxPool', fill: null }],
    ['a convolution would fill in zero', { fill: Number.NEGATIVE_INFINITY }],
    ['a pool would be all padding somewhere', { op: 'MaxPool', pairs: [0, 0, 1, 2, 0, 2, 0, 0] }],
    ['something else reads it as well', { outputs: ['y', 'p'] }],
    ['the transposed padding is read as well', { channelsFirst: true, outputs: ['y', 't'] }],
    ['its reader pads by itself', { padding: 'SAME' }],
    ['channels are padded', { channelsFirst: true }],
    ['pictures are added', { pairs: [0, 1, 1, 2, 0, 1, 0, 0] }],
  ])('stays where %s', (_, one) => {
    expect(foldedOperators(padded(one)).some((op) => op.startsWith('Pad'))).toBe(true);
  });

  it('computes what it did as a step of its own', async () => {
    const amount = fc.integer({ min: 0, max: 3 });
    await fc.assert(
      fc.asyncProperty(
        fc.tuple(amount, amount, amount, amount),
        fc.boolean(),
        fc.constantFrom('Conv2D', 'DepthwiseConv2dNative', 'MaxPool'),
        fc.constantFrom(1, 2),
        async (amounts, channelsFirst, op, stride) => {
          const pairs = channelsFirst ? [0, 0, 0, 0, ...amounts] : [0, 0, ...amounts, 0, 0];
          const folded = padded({ pairs, op, channelsFirst, stride });
          // Named as an output the padding has a second reader and stays.
          const kept = { ...folded, outputs: ['y', 'p'] };
          expect(foldedOperators(kept)).toContain(op === 'MaxPool' ? 'PadV2' : 'Pad');
          const values = Float32Array.from(noise(480));
          const [expected, received] = [await run(kept, values), await run(folded, values)];
          expect(received.length).toBe(expected.length);
          for (const [index, value] of expected.entries()) {
            // A window of padding alone is minus infinity, which no difference can be taken of.
            if (received[index] !== value) expect(received[index]).toBeCloseTo(value, 5);
          }
        },
      ),
      { numRuns: 60, seed: 8 },
    );
  });
});
