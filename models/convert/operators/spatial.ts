/**
 * Convolution, pooling and resizing. TensorFlow keeps channels last, ONNX channels first, so each stands between two
 * transpositions (onnxruntime moves and cancels them on loading).
 */
import { type Emitter, type Scope, textAttribute, unsupported } from '../emit.ts';
import type { Constant } from '../graph-model.ts';
import type { Attribute } from '../onnx-graph.ts';

function requireChannelsLast(scope: Scope): void {
  const format = textAttribute(scope, 'data_format', 'NHWC');
  if (format !== 'NHWC') unsupported(scope, `data format ${format}`);
}

const toChannelsFirst = (scope: Scope, value: string): string =>
  scope.add('Transpose', [value], { perm: [0, 3, 1, 2] });
const toChannelsLast = (scope: Scope, value: string): string =>
  scope.add('Transpose', [value], { perm: [0, 2, 3, 1] });

/** Height and width entries of a four-number attribute such as `strides`. */
function heightAndWidth(scope: Scope, name: string): readonly [number, number] {
  const list = scope.node.attr[name]?.list?.i ?? [1, 1, 1, 1];
  const [batch, height, width, channel] = list;
  if (batch !== 1 || channel !== 1 || height === undefined || width === undefined) {
    unsupported(scope, `${name} ${JSON.stringify(list)}`);
  }
  return [height, width];
}

/**
 * `SAME` puts the odd row and column of padding at the end, which ONNX calls SAME_UPPER; `EXPLICIT` lists before and after for
 * each of batch, height, width and channel.
 */
function paddingAttribute(scope: Scope): Readonly<Record<string, Attribute>> {
  const padding = textAttribute(scope, 'padding', '');
  if (padding === 'SAME') return { auto_pad: 'SAME_UPPER' };
  if (padding === 'VALID') return { auto_pad: 'VALID' };
  const [, , top, bottom, left, right] = scope.node.attr.explicit_paddings?.list?.i ?? [];
  if (padding !== 'EXPLICIT' || top === undefined) return unsupported(scope, `padding "${padding}"`);
  return { pads: [top, left!, bottom!, right!] };
}

/** Reorders the axes of a constant: result axis `i` is source axis `order[i]`. */
function transposeConstant(constant: Constant, order: readonly number[]): Constant {
  const shape = order.map((axis) => constant.shape[axis]!);
  const steps = constant.shape.map((_, axis) =>
    constant.shape.slice(axis + 1).reduce((product, size) => product * size, 1),
  );
  const count = shape.reduce((product, size) => product * size, 1);
  const place = new Array<number>(shape.length).fill(0);
  const source = new Uint32Array(count);
  for (let index = 0; index < count; index++) {
    let from = 0;
    for (let axis = 0; axis < order.length; axis++) from += place[axis]! * steps[order[axis]!]!;
    source[index] = from;
    for (let axis = shape.length - 1; axis >= 0; axis--) {
      place[axis] = place[axis]! + 1;
      if (place[axis]! < shape[axis]!) break;
      place[axis] = 0;
    }
  }
  const { data } = constant;
  if (data.type === 'float16') {
    const bits = new Uint16Array(count);
    for (let index = 0; index < count; index++) bits[index] = data.bits[source[index]!]!;
    return { shape, data: { type: 'float16', bits } };
  }
  const values = data.type === 'float32' ? new Float32Array(count) : new Int32Array(count);
  for (let index = 0; index < count; index++) values[index] = data.values[source[index]!]!;
  return values instanceof Float32Array
    ? { shape, data: { type: 'float32', values } }
    : { shape, data: { type: 'int32', values } };
}

/** What a fused convolution does after the sum: bias is input 2, a slope follows it. Values are channels first here. */
function applyFused(scope: Scope, fused: readonly string[], convolved: string): string {
  let value = convolved;
  let next = 3;
  for (const step of fused) {
    if (step === 'Relu') value = scope.add('Relu', [value]);
    else if (step === 'Relu6') value = scope.add('Clip', [value, scope.float32(0), scope.float32(6)]);
    else if (step === 'Prelu') {
      const slope = scope.constant(next++);
      if (slope.shape.length !== 3) unsupported(scope, `a slope of ${slope.shape.length} axes`);
      value = scope.add('PRelu', [value, scope.value(transposeConstant(slope, [2, 0, 1]))]);
    } else if (step !== 'BiasAdd') unsupported(scope, `fused ${step}`);
  }
  return value;
}

function convolve(scope: Scope, weights: Constant, group: number): readonly string[] {
  requireChannelsLast(scope);
  const fused = (scope.node.attr.fused_ops?.list?.s ?? []).map((text) =>
    Buffer.from(text, 'base64').toString('utf8'),
  );
  if (fused.length > 0 && fused[0] !== 'BiasAdd') unsupported(scope, `fused ${fused[0]} without a bias`);
  const inputs = [toChannelsFirst(scope, scope.input(0)), scope.value(weights)];
  if (fused.length > 0) inputs.push(scope.input(2));
  const convolved = scope.add('Conv', inputs, {
    ...paddingAttribute(scope),
    dilations: heightAndWidth(scope, 'dilations'),
    group,
    kernel_shape: weights.shape.slice(2),
    strides: heightAndWidth(scope, 'strides'),
  });
  return [toChannelsLast(scope, applyFused(scope, fused, convolved))];
}

/** Source weights [height, width, in, out]. */
const convolution: Emitter = (scope) =>
  convolve(scope, transposeConstant(scope.constant(1), [3, 2, 0, 1]), 1);

/** Source weights [height, width, in, multiplier]; output channel = in * multiplier + m, as in ONNX with group = in. */
const depthwise: Emitter = (scope) => {
  const moved = transposeConstant(scope.constant(1), [2, 3, 0, 1]);
  const [channels, multiplier, height, width] = moved.shape as [number, number, number, number];
  return convolve(scope, { ...moved, shape: [channels * multiplier, 1, height, width] }, channels);
};

const pool =
  (opType: string): Emitter =>
  (scope) => {
    requireChannelsLast(scope);
    const pooled = scope.add(opType, [toChannelsFirst(scope, scope.input(0))], {
      ...paddingAttribute(scope),
      kernel_shape: heightAndWidth(scope, 'ksize'),
      strides: heightAndWidth(scope, 'strides'),
    });
    return [toChannelsLast(scope, pooled)];
  };

export const spatial: Readonly<Record<string, Emitter>> = {
  _FusedConv2D: convolution,
  AvgPool: pool('AveragePool'),
  Conv2D: convolution,
  DepthwiseConv2dNative: depthwise,
  FusedDepthwiseConv2dNative: depthwise,
  MaxPool: pool('MaxPool'),

  // Inputs: output size, weights [height, width, out, in], values.
  Conv2DBackpropInput: (scope) => {
    requireChannelsLast(scope);
    const weights = transposeConstant(scope.constant(1), [3, 2, 0, 1]);
    const strides = heightAndWidth(scope, 'strides');
    const kernel = weights.shape.slice(2);
    // With a kernel as large as its stride the outputs tile the result and there is no padding to place.
    if (kernel.some((size, axis) => size !== strides[axis]))
      unsupported(scope, `kernel ${kernel} over ${strides}`);
    const inputs = [toChannelsFirst(scope, scope.input(2)), scope.value(weights)];
    return [toChannelsLast(scope, scope.add('ConvTranspose', inputs, { kernel_shape: kernel, strides }))];
  },

  DepthToSpace: (scope) => {
    requireChannelsLast(scope);
    const blocksize = scope.node.attr.block_size?.i;
    if (blocksize === undefined) unsupported(scope, 'a missing block size');
    const value = toChannelsFirst(scope, scope.input(0));
    return [toChannelsLast(scope, scope.add('DepthToSpace', [value], { blocksize, mode: 'DCR' }))];
  },

  ResizeBilinear: (scope) => {
    const alignCorners = scope.node.attr.align_corners?.b ?? false;
    const halfPixel = scope.node.attr.half_pixel_centers?.b ?? false;
    const coordinates = alignCorners ? 'align_corners' : halfPixel ? 'half_pixel' : 'asymmetric';
    const value = toChannelsFirst(scope, scope.input(0));
    // All four sizes are named: with only two and their axes, onnxruntime 1.30 goes wrong where it moves a transposition across.
    const shape = scope.add('Shape', [value]);
    const batchAndChannels = scope.add('Slice', [shape, scope.int64([0]), scope.int64([2])]);
    const size = scope.add('Concat', [batchAndChannels, scope.cast(scope.input(1), 'int64')], { axis: 0 });
    const resized = scope.add('Resize', [value, '', '', size], {
      coordinate_transformation_mode: coordinates,
      mode: 'linear',
    });
    return [toChannelsLast(scope, resized)];
  },
};
