/** Every operator of the converter on small graphs: ONNX in onnxruntime against the same graph in TensorFlow.js 4.22. */
import '@tensorflow/tfjs-backend-cpu';
import { loadGraphModel } from '@tensorflow/tfjs-converter';
import { type io, ready, setBackend, tensor } from '@tensorflow/tfjs-core';
import { InferenceSession, Tensor } from 'onnxruntime-node';
import { beforeAll, describe, expect, it } from 'vitest';
import { convertToOnnx } from '../../../models/convert/convert.ts';
import { operators } from '../../../models/convert/operators/index.ts';
import { seededRandom } from '../../helpers/random.ts';
import { attributes, type SmallConstant, type SmallGraph, writeGraph } from '../../helpers/small-graph.ts';

const { int, float, bool, text, type, ints, texts } = attributes;
const random = seededRandom(11);
const floats = (...shape: number[]): SmallConstant => ({
  shape,
  values: Array.from({ length: shape.reduce((product, size) => product * size, 1) }, () => 2 * random() - 1),
});
const whole = (shape: readonly number[], ...values: number[]): SmallConstant => ({
  shape,
  values,
  dtype: 'int32',
});
const list = (...values: number[]): SmallConstant => whole([values.length], ...values);
const scalar = (value: number): SmallConstant => whole([], value);
const T = { T: type('DT_FLOAT') };
const conv = (padding: string, strides: readonly number[], dilation = 1) => ({
  ...T,
  padding: text(padding),
  data_format: text('NHWC'),
  strides: ints(1, ...strides, 1),
  dilations: ints(1, dilation, dilation, 1),
});
const fused = (...ops: string[]) => ({
  fused_ops: texts(...ops),
  num_args: int(ops.includes('Prelu') ? 2 : 1),
  epsilon: float(0),
});
const picture = [1, 7, 6, 3];

const unary = (op: string, attr: SmallGraph['nodes'][string]['attr'] = T): SmallGraph => ({
  input: [2, 3],
  nodes: { y: { op, inputs: ['x'], attr } },
  outputs: ['y'],
});
const binary = (op: string, other: SmallConstant = floats(3)): SmallGraph => ({
  input: [2, 3],
  constants: { c: other },
  nodes: { y: { op, inputs: ['x', 'c'], attr: T } },
  outputs: ['y'],
});
/** A comparison, made a number again. */
const compared = (op: string): SmallGraph => ({
  input: [2, 3],
  constants: { c: { shape: [3], values: [-0.5, 0, 0.5] } },
  nodes: {
    b: { op, inputs: ['x', 'c'], attr: T },
    y: { op: 'Cast', inputs: ['b'], attr: { SrcT: type('DT_BOOL'), DstT: type('DT_FLOAT') } },
  },
  outputs: ['y'],
});
const pooled = (op: string, padding: string, size: number, stride: number): SmallGraph => ({
  input: picture,
  nodes: {
    y: {
      op,
      inputs: ['x'],
      attr: {
        ...T,
        padding: text(padding),
        data_format: text('NHWC'),
        ksize: ints(1, size, size, 1),
        strides: ints(1, stride, stride, 1),
      },
    },
  },
  outputs: ['y'],
});
const resized = (alignCorners: boolean, halfPixel: boolean, rows: number, columns: number): SmallGraph => ({
  input: picture,
  constants: { size: list(rows, columns) },
  nodes: {
    y: {
      op: 'ResizeBilinear',
      inputs: ['x', 'size'],
      attr: { ...T, align_corners: bool(alignCorners), half_pixel_centers: bool(halfPixel) },
    },
  },
  outputs: ['y'],
});
const sliced = (
  begin: number[],
  end: number[],
  step: number[],
  masks: Readonly<Record<string, number>>,
): SmallGraph => ({
  input: [2, 4, 5],
  constants: { begin: list(...begin), end: list(...end), step: list(...step) },
  nodes: {
    y: {
      op: 'StridedSlice',
      inputs: ['x', 'begin', 'end', 'step'],
      attr: {
        ...T,
        ...Object.fromEntries(
          ['begin_mask', 'end_mask', 'ellipsis_mask', 'new_axis_mask', 'shrink_axis_mask'].map((name) => [
            name,
            int(masks[name] ?? 0),
          ]),
        ),
      },
    },
  },
  outputs: ['y'],
});

const graphs: Readonly<Record<string, SmallGraph>> = {
  Abs: unary('Abs'),
  Add: binary('Add'),
  AddN: binary('AddN', floats(2, 3)),
  AddV2: binary('AddV2'),
  'Cast to int and back': {
    input: [2, 3],
    nodes: {
      i: { op: 'Cast', inputs: ['x'], attr: { SrcT: type('DT_FLOAT'), DstT: type('DT_INT32') } },
      y: { op: 'Cast', inputs: ['i'], attr: { SrcT: type('DT_INT32'), DstT: type('DT_FLOAT') } },
    },
    outputs: ['y'],
  },
  Equal: compared('Equal'),
  Exp: unary('Exp'),
  'FloorDiv of negative numbers': {
    input: [6],
    inputType: 'int32',
    constants: { c: list(4, -4, 3, -3, 7, 2) },
    nodes: { y: { op: 'FloorDiv', inputs: ['x', 'c'], attr: { T: type('DT_INT32') } } },
    outputs: ['y'],
    outputType: 'int32',
  },
  Greater: compared('Greater'),
  GreaterEqual: compared('GreaterEqual'),
  Identity: unary('Identity'),
  LeakyRelu: unary('LeakyRelu', { ...T, alpha: float(0.1) }),
  Less: compared('Less'),
  LogicalAnd: {
    input: [2, 3],
    constants: { low: { shape: [], values: [-0.4] }, high: { shape: [], values: [0.4] } },
    nodes: {
      a: { op: 'Greater', inputs: ['x', 'low'], attr: T },
      b: { op: 'Less', inputs: ['x', 'high'], attr: T },
      c: { op: 'LogicalAnd', inputs: ['a', 'b'] },
      y: { op: 'Cast', inputs: ['c'], attr: { SrcT: type('DT_BOOL'), DstT: type('DT_FLOAT') } },
    },
    outputs: ['y'],
  },
  Maximum: binary('Maximum'),
  Minimum: binary('Minimum'),
  Mul: binary('Mul'),
  Prelu: binary('Prelu'),
  RealDiv: binary('RealDiv'),
  Reciprocal: unary('Reciprocal'),
  Relu: unary('Relu'),
  Relu6: unary('Relu6'),
  Select: {
    input: [2, 3],
    constants: { zero: { shape: [], values: [0] }, other: floats(2, 3) },
    nodes: {
      c: { op: 'Greater', inputs: ['x', 'zero'], attr: T },
      y: { op: 'Select', inputs: ['c', 'x', 'other'], attr: T },
    },
    outputs: ['y'],
  },
  Sigmoid: unary('Sigmoid'),
  Sqrt: {
    ...unary('Sqrt'),
    nodes: { a: { op: 'Abs', inputs: ['x'], attr: T }, y: { op: 'Sqrt', inputs: ['a'], attr: T } },
  },
  SquaredDifference: binary('SquaredDifference'),
  Sub: binary('Sub'),

  'Conv2D same, stride 2': {
    input: picture,
    constants: { w: floats(3, 3, 3, 4) },
    nodes: { y: { op: 'Conv2D', inputs: ['x', 'w'], attr: conv('SAME', [2, 2]) } },
    outputs: ['y'],
  },
  'Conv2D valid, dilated': {
    input: picture,
    constants: { w: floats(2, 3, 3, 4) },
    nodes: { y: { op: 'Conv2D', inputs: ['x', 'w'], attr: conv('VALID', [1, 1], 2) } },
    outputs: ['y'],
  },
  'Conv2D with explicit padding': {
    input: picture,
    constants: { w: floats(3, 2, 3, 4) },
    nodes: {
      y: {
        op: 'Conv2D',
        inputs: ['x', 'w'],
        attr: { ...conv('EXPLICIT', [2, 1]), explicit_paddings: ints(0, 0, 2, 1, 0, 3, 0, 0) },
      },
    },
    outputs: ['y'],
  },
  'Pad and Transpose before DepthwiseConv2dNative': {
    input: [1, 3, 7, 6],
    constants: { p: whole([4, 2], 0, 0, 0, 0, 1, 2, 0, 3), order: list(0, 2, 3, 1), w: floats(3, 3, 3, 2) },
    nodes: {
      padded: { op: 'Pad', inputs: ['x', 'p'], attr: T },
      moved: { op: 'Transpose', inputs: ['padded', 'order'], attr: T },
      y: { op: 'DepthwiseConv2dNative', inputs: ['moved', 'w'], attr: conv('VALID', [2, 2]) },
    },
    outputs: ['y'],
  },
  '_FusedConv2D with Relu6': {
    input: picture,
    constants: { w: floats(1, 1, 3, 5), b: floats(5) },
    nodes: {
      y: {
        op: '_FusedConv2D',
        inputs: ['x', 'w', 'b'],
        attr: { ...conv('SAME', [1, 1]), ...fused('BiasAdd', 'Relu6') },
      },
    },
    outputs: ['y'],
  },
  '_FusedConv2D with Prelu': {
    input: picture,
    constants: { w: floats(3, 3, 3, 4), b: floats(4), slope: floats(1, 1, 4) },
    nodes: {
      y: {
        op: '_FusedConv2D',
        inputs: ['x', 'w', 'b', 'slope'],
        attr: { ...conv('SAME', [1, 1]), ...fused('BiasAdd', 'Prelu') },
      },
    },
    outputs: ['y'],
  },
  'DepthwiseConv2dNative, two channels from each': {
    input: picture,
    constants: { w: floats(3, 3, 3, 2) },
    nodes: { y: { op: 'DepthwiseConv2dNative', inputs: ['x', 'w'], attr: conv('SAME', [1, 1]) } },
    outputs: ['y'],
  },
  FusedDepthwiseConv2dNative: {
    input: picture,
    constants: { w: floats(3, 3, 3, 1), b: floats(3) },
    nodes: {
      y: {
        op: 'FusedDepthwiseConv2dNative',
        inputs: ['x', 'w', 'b'],
        attr: { ...conv('SAME', [2, 2]), ...fused('BiasAdd', 'Relu') },
      },
    },
    outputs: ['y'],
  },
  Conv2DBackpropInput: {
    input: [1, 3, 4, 2],
    constants: { size: list(1, 6, 8, 5), w: floats(2, 2, 5, 2) },
    nodes: { y: { op: 'Conv2DBackpropInput', inputs: ['size', 'w', 'x'], attr: conv('SAME', [2, 2]) } },
    outputs: ['y'],
  },
  'MaxPool same': pooled('MaxPool', 'SAME', 3, 2),
  'MaxPool valid': pooled('MaxPool', 'VALID', 2, 2),
  AvgPool: pooled('AvgPool', 'VALID', 3, 3),
  DepthToSpace: {
    input: [1, 2, 3, 8],
    nodes: {
      y: { op: 'DepthToSpace', inputs: ['x'], attr: { ...T, block_size: int(2), data_format: text('NHWC') } },
    },
    outputs: ['y'],
  },
  'ResizeBilinear half pixel': resized(false, true, 14, 9),
  'ResizeBilinear asymmetric': resized(false, false, 14, 12),
  'ResizeBilinear corners': resized(true, false, 13, 9),

  'ConcatV2 along the last axis': {
    input: [2, 3],
    constants: { c: floats(2, 2), axis: scalar(1) },
    nodes: { y: { op: 'ConcatV2', inputs: ['x', 'c', 'axis'], attr: { ...T, N: int(2) } } },
    outputs: ['y'],
  },
  ExpandDims: {
    input: [2, 3],
    constants: { axis: scalar(1) },
    nodes: { y: { op: 'ExpandDims', inputs: ['x', 'axis'], attr: T } },
    outputs: ['y'],
  },
  'Fill with the size of the input': {
    input: [2, 3],
    constants: { value: { shape: [], values: [0.25] } },
    nodes: {
      s: { op: 'Shape', inputs: ['x'], attr: { ...T, out_type: type('DT_INT32') } },
      y: { op: 'Fill', inputs: ['s', 'value'], attr: T },
    },
    outputs: ['y'],
  },
  'Pack and Unpack': {
    input: [2, 3],
    nodes: {
      u: { op: 'Unpack', inputs: ['x'], attr: { ...T, axis: int(1), num: int(3) } },
      y: { op: 'Pack', inputs: ['u:2', 'u', 'u:1'], attr: { ...T, axis: int(0), N: int(3) } },
    },
    outputs: ['y'],
  },
  'Pad unevenly': {
    input: [1, 2, 3, 1],
    constants: { p: whole([4, 2], 0, 0, 1, 2, 0, 3, 0, 0) },
    nodes: { y: { op: 'Pad', inputs: ['x', 'p'], attr: T } },
    outputs: ['y'],
  },
  'PadV2 with a value': {
    input: [2, 3],
    constants: { p: whole([2, 2], 1, 0, 0, 2), v: { shape: [], values: [-9] } },
    nodes: { y: { op: 'PadV2', inputs: ['x', 'p', 'v'], attr: T } },
    outputs: ['y'],
  },
  'Range up to a size': {
    input: [2, 5],
    constants: { zero: { shape: [], values: [0] }, step: { shape: [], values: [1] } },
    nodes: {
      s: { op: 'Size', inputs: ['x'], attr: { ...T, out_type: type('DT_INT32') } },
      f: { op: 'Cast', inputs: ['s'], attr: { SrcT: type('DT_INT32'), DstT: type('DT_FLOAT') } },
      y: { op: 'Range', inputs: ['zero', 'f', 'step'], attr: { Tidx: type('DT_FLOAT') } },
    },
    outputs: ['y'],
  },
  'Reshape, and the shape worked out from a sparse constant': {
    input: [2, 3],
    constants: { where: whole([1, 1], 0), size: list(1), value: list(6), none: scalar(0) },
    nodes: {
      s: { op: 'SparseToDense', inputs: ['where', 'size', 'value', 'none'], attr: { T: type('DT_INT64') } },
      y: { op: 'Reshape', inputs: ['x', 's'], attr: T },
    },
    outputs: ['y'],
  },
  Split: {
    input: [2, 6],
    constants: { axis: scalar(1) },
    nodes: { y: { op: 'Split', inputs: ['axis', 'x'], attr: { ...T, num_split: int(3) } } },
    outputs: ['y', 'y:2'],
  },
  SplitV: {
    input: [2, 6],
    constants: { sizes: list(4, 2), axis: scalar(1) },
    nodes: { y: { op: 'SplitV', inputs: ['x', 'sizes', 'axis'], attr: { ...T, num_split: int(2) } } },
    outputs: ['y', 'y:1'],
  },
  Squeeze: {
    input: [1, 3, 1],
    nodes: { y: { op: 'Squeeze', inputs: ['x'], attr: { ...T, squeeze_dims: ints(0) } } },
    outputs: ['y'],
  },
  'StridedSlice plain': sliced([0, 1, 1], [2, 4, 5], [1, 2, 3], {}),
  'StridedSlice to the ends': sliced([1, 1, 1], [1, 2, 2], [1, 1, 1], { begin_mask: 1, end_mask: 6 }),
  'StridedSlice of single places': sliced([1, -1, 0], [2, 0, 5], [1, 1, 1], { shrink_axis_mask: 3 }),
  'StridedSlice with new axes': sliced([0, 0, 0, 0], [2, 0, 4, 5], [1, 1, 1, 1], { new_axis_mask: 2 }),
  Tile: {
    input: [2, 3],
    constants: { n: list(2, 3) },
    nodes: { y: { op: 'Tile', inputs: ['x', 'n'], attr: T } },
    outputs: ['y'],
  },
  Transpose: {
    input: [2, 3, 4],
    constants: { p: list(2, 0, 1) },
    nodes: { y: { op: 'Transpose', inputs: ['x', 'p'], attr: T } },
    outputs: ['y'],
  },

  'ArgMax and Max': {
    input: [3, 4],
    constants: { axis: scalar(1), axes: list(1) },
    nodes: {
      a: { op: 'ArgMax', inputs: ['x', 'axis'], attr: { ...T, output_type: type('DT_INT32') } },
      f: { op: 'Cast', inputs: ['a'], attr: { SrcT: type('DT_INT32'), DstT: type('DT_FLOAT') } },
      m: { op: 'Max', inputs: ['x', 'axes'], attr: { ...T, keep_dims: bool(false) } },
    },
    outputs: ['f', 'm'],
  },
  GatherNd: {
    input: [3, 4],
    constants: { at: whole([2, 2], 2, 1, 0, 3) },
    nodes: { y: { op: 'GatherNd', inputs: ['x', 'at'], attr: { Tparams: type('DT_FLOAT') } } },
    outputs: ['y'],
  },
  'Sum, axis kept': {
    input: [3, 4],
    constants: { axes: list(0) },
    nodes: { y: { op: 'Sum', inputs: ['x', 'axes'], attr: { ...T, keep_dims: bool(true) } } },
    outputs: ['y'],
  },
  TopKV2: {
    input: [2, 5],
    constants: { k: scalar(3) },
    nodes: {
      t: { op: 'TopKV2', inputs: ['x', 'k'], attr: { ...T, sorted: bool(true) } },
      f: { op: 'Cast', inputs: ['t:1'], attr: { SrcT: type('DT_INT32'), DstT: type('DT_FLOAT') } },
    },
    outputs: ['t', 'f'],
  },
};

async function inTensorFlow(
  graph: SmallGraph,
  values: Float32Array | Int32Array,
): Promise<readonly number[][]> {
  const { json, weights } = writeGraph(graph);
  const written = JSON.parse(json) as io.ModelArtifacts & {
    weightsManifest: { weights: io.WeightsManifestEntry[] }[];
  };
  const model = await loadGraphModel({
    load: async () => ({
      ...written,
      weightSpecs: written.weightsManifest[0]!.weights,
      weightData: Uint8Array.from(weights).buffer,
    }),
  });
  const names = graph.outputs.map((value) => (value.includes(':') ? value : `${value}:0`));
  const found = await model.executeAsync(
    tensor(values, [...graph.input], graph.inputType ?? 'float32'),
    names,
  );
  return Promise.all((Array.isArray(found) ? found : [found]).map(async (one) => [...(await one.data())]));
}

async function inOnnx(graph: SmallGraph, values: Float32Array | Int32Array): Promise<readonly number[][]> {
  const { json, weights } = writeGraph(graph);
  const session = await InferenceSession.create(convertToOnnx(json, weights, 'small'), {
    intraOpNumThreads: 1,
  });
  const results = await session.run({
    x: new Tensor(graph.inputType ?? 'float32', values, [...graph.input]),
  } as never);
  return graph.outputs.map((_, index) => [...(results[`out${index}`]!.data as Float32Array)].map(Number));
}

describe('operators', () => {
  beforeAll(async () => {
    await setBackend('cpu');
    await ready();
  });

  it('are all tried below', () => {
    const tried = new Set(
      Object.values(graphs).flatMap(({ nodes }) => Object.values(nodes).map(({ op }) => op)),
    );
    expect([...tried].sort()).toEqual(Object.keys(operators).sort());
  });

  it.each(Object.keys(graphs))('%s', async (name) => {
    const graph = graphs[name]!;
    const size = graph.input.reduce((product, length) => product * length, 1);
    const values =
      graph.inputType === 'int32'
        ? Int32Array.from({ length: size }, (_, index) => [7, 7, -7, -7, 0, -1][index % 6]!)
        : Float32Array.from({ length: size }, () => 2 * random() - 1);
    const [expected, received] = [await inTensorFlow(graph, values), await inOnnx(graph, values)];
    expect(received.map((output) => output.length)).toEqual(expected.map((output) => output.length));
    for (const [index, output] of expected.entries()) {
      for (const [place, value] of output.entries()) expect(received[index]![place]).toBeCloseTo(value, 4);
    }
  });
});
