/** Reductions and look-ups. ONNX indices are 64-bit, TensorFlow.js keeps them in 32. */
import { type Emitter, integer, integers } from '../emit.ts';

const reduce =
  (opType: string): Emitter =>
  (scope) => {
    const keepdims = scope.node.attr.keep_dims?.b === true ? 1 : 0;
    return [scope.add(opType, [scope.input(0), scope.int64(integers(scope, 1))], { keepdims })];
  };

export const selection: Readonly<Record<string, Emitter>> = {
  ArgMax: (scope) => {
    const found = scope.add('ArgMax', [scope.input(0)], { axis: integer(scope, 1), keepdims: 0 });
    return [scope.cast(found, 'int32')];
  },
  GatherNd: (scope) => [scope.add('GatherND', [scope.input(0), scope.cast(scope.input(1), 'int64')])],
  Max: reduce('ReduceMax'),
  Sum: reduce('ReduceSum'),
  TopKV2: (scope) => {
    const sorted = scope.node.attr.sorted?.b === false ? 0 : 1;
    const count = scope.int64([integer(scope, 1)]);
    const [values, indices] = scope.addMany('TopK', [scope.input(0), count], { axis: -1, sorted }, 2);
    return [values!, scope.cast(indices!, 'int32')];
  },
};
