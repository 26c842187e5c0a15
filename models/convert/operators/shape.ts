/** Shapes, slices, joins and padding. */
import { type Emitter, integer, integers, type Scope, unsupported } from '../emit.ts';
import type { Constant } from '../graph-model.ts';

/** The largest end index ONNX knows: up to the end of the axis. */
const toTheEnd = Number.MAX_SAFE_INTEGER;

/** Inputs: values, padding [axes, 2]; ONNX wants all the starts, then all the ends. */
function pad(scope: Scope, fill: string): readonly string[] {
  const pairs = integers(scope, 1);
  const starts = pairs.filter((_, index) => index % 2 === 0);
  const ends = pairs.filter((_, index) => index % 2 === 1);
  return [scope.add('Pad', [scope.input(0), scope.int64([...starts, ...ends]), fill], { mode: 'constant' })];
}

const requiredInteger = (scope: Scope, name: string): number =>
  scope.node.attr[name]?.i ?? unsupported(scope, `a missing ${name}`);

function split(
  scope: Scope,
  value: string,
  axis: number,
  sizes: readonly number[] | number,
): readonly string[] {
  return typeof sizes === 'number'
    ? scope.addMany('Split', [value], { axis, num_outputs: sizes }, sizes)
    : scope.addMany('Split', [value, scope.int64(sizes)], { axis }, sizes.length);
}

/** tf.strided_slice with constant bounds: cut, drop the axes of single indices, add the new axes. */
const stridedSlice: Emitter = (scope) => {
  const [begin, end, step] = [integers(scope, 1), integers(scope, 2), integers(scope, 3)];
  const bit = (mask: string, index: number): boolean =>
    (((scope.node.attr[mask]?.i ?? 0) >> index) & 1) === 1;
  if ((scope.node.attr.ellipsis_mask?.i ?? 0) !== 0) unsupported(scope, 'an ellipsis');
  const cut = { starts: [] as number[], ends: [] as number[], axes: [] as number[], steps: [] as number[] };
  const dropped: number[] = [];
  const added: number[] = [];
  let axis = 0;
  let resultAxis = 0;
  for (const [index, first] of begin.entries()) {
    if (bit('new_axis_mask', index)) {
      added.push(resultAxis++);
      continue;
    }
    const stride = step[index]!;
    if (stride < 1) unsupported(scope, `stride ${stride}`);
    const single = bit('shrink_axis_mask', index);
    cut.axes.push(axis);
    cut.starts.push(bit('begin_mask', index) ? 0 : first);
    cut.steps.push(single ? 1 : stride);
    if (single) {
      cut.ends.push(first === -1 ? toTheEnd : first + 1);
      dropped.push(axis);
    } else {
      cut.ends.push(bit('end_mask', index) ? toTheEnd : end[index]!);
      resultAxis++;
    }
    axis++;
  }
  let value = scope.input(0);
  if (cut.axes.length > 0) {
    const bounds = [cut.starts, cut.ends, cut.axes, cut.steps].map((list) => scope.int64(list));
    value = scope.add('Slice', [value, ...bounds]);
  }
  if (dropped.length > 0) value = scope.add('Squeeze', [value, scope.int64(dropped)]);
  if (added.length > 0) value = scope.add('Unsqueeze', [value, scope.int64(added)]);
  return [value];
};

/** Inputs: indices, shape, values, default, all constant: worked out here. */
const sparseToDense: Emitter = (scope) => {
  const [indices, shape, values] = [integers(scope, 0), integers(scope, 1), integers(scope, 2)];
  const size = shape[0];
  if (shape.length !== 1 || size === undefined) unsupported(scope, `${shape.length} axes`);
  const dense = new Int32Array(size).fill(integer(scope, 3));
  for (const [index, place] of indices.entries()) dense[place] = values[index]!;
  return [{ shape: [size], data: { type: 'int32', values: dense } } satisfies Constant];
};

export const shapes: Readonly<Record<string, Emitter>> = {
  ConcatV2: (scope) => {
    const last = scope.inputCount - 1;
    const parts = Array.from({ length: last }, (_, index) => scope.input(index));
    return [scope.add('Concat', parts, { axis: integer(scope, last) })];
  },
  ExpandDims: (scope) => [scope.add('Unsqueeze', [scope.input(0), scope.int64([integer(scope, 1)])])],
  Fill: (scope) => [scope.add('Expand', [scope.input(1), scope.cast(scope.input(0), 'int64')])],
  Pack: (scope) => {
    const axis = requiredInteger(scope, 'axis');
    const parts = Array.from({ length: scope.inputCount }, (_, index) =>
      scope.add('Unsqueeze', [scope.input(index), scope.int64([axis])]),
    );
    return [scope.add('Concat', parts, { axis })];
  },
  Pad: (scope) => pad(scope, scope.float32(0)),
  PadV2: (scope) => pad(scope, scope.input(2)),
  Range: (scope) => [scope.add('Range', [scope.input(0), scope.input(1), scope.input(2)])],
  Reshape: (scope) => [scope.add('Reshape', [scope.input(0), scope.cast(scope.input(1), 'int64')])],
  Shape: (scope) => [scope.cast(scope.add('Shape', [scope.input(0)]), 'int32')],
  Size: (scope) => [scope.cast(scope.add('Size', [scope.input(0)]), 'int32')],
  SparseToDense: sparseToDense,
  Split: (scope) => split(scope, scope.input(1), integer(scope, 0), requiredInteger(scope, 'num_split')),
  SplitV: (scope) => split(scope, scope.input(0), integer(scope, 2), integers(scope, 1)),
  Squeeze: (scope) => {
    const axes = scope.node.attr.squeeze_dims?.list?.i ?? [];
    return [scope.add('Squeeze', axes.length > 0 ? [scope.input(0), scope.int64(axes)] : [scope.input(0)])];
  },
  StridedSlice: stridedSlice,
  Tile: (scope) => [scope.add('Tile', [scope.input(0), scope.cast(scope.input(1), 'int64')])],
  Transpose: (scope) => [scope.add('Transpose', [scope.input(0)], { perm: integers(scope, 1) })],
  Unpack: (scope) => {
    const axis = requiredInteger(scope, 'axis');
    const parts = split(scope, scope.input(0), axis, requiredInteger(scope, 'num'));
    return parts.map((part) => scope.add('Squeeze', [part, scope.int64([axis])]));
  },
};
