/** Element by element: TensorFlow and ONNX agree on broadcasting, so most are a change of name. */
import { type Emitter, type onnxTypes, unsupported } from '../emit.ts';

const sameInputs =
  (opType: string): Emitter =>
  (scope) => [
    scope.add(
      opType,
      Array.from({ length: scope.inputCount }, (_, index) => scope.input(index)),
    ),
  ];

const sourceTypes: Readonly<Record<string, keyof typeof onnxTypes>> = {
  DT_FLOAT: 'float32',
  DT_INT32: 'int32',
  DT_BOOL: 'bool',
};

export const arithmetic: Readonly<Record<string, Emitter>> = {
  Abs: sameInputs('Abs'),
  Add: sameInputs('Add'),
  AddN: sameInputs('Sum'),
  AddV2: sameInputs('Add'),
  Equal: sameInputs('Equal'),
  Exp: sameInputs('Exp'),
  Greater: sameInputs('Greater'),
  GreaterEqual: sameInputs('GreaterOrEqual'),
  Identity: sameInputs('Identity'),
  Less: sameInputs('Less'),
  LogicalAnd: sameInputs('And'),
  Maximum: sameInputs('Max'),
  Minimum: sameInputs('Min'),
  Mul: sameInputs('Mul'),
  Prelu: sameInputs('PRelu'),
  RealDiv: sameInputs('Div'),
  Reciprocal: sameInputs('Reciprocal'),
  Relu: sameInputs('Relu'),
  // TensorFlow.js evaluates Select with numpy broadcasting, as ONNX does.
  Select: sameInputs('Where'),
  Sigmoid: sameInputs('Sigmoid'),
  Sqrt: sameInputs('Sqrt'),
  Sub: sameInputs('Sub'),

  Cast: (scope) => {
    const target = sourceTypes[scope.node.attr.DstT?.type ?? ''];
    if (target === undefined) unsupported(scope, `target type ${scope.node.attr.DstT?.type}`);
    return [scope.cast(scope.input(0), target)];
  },

  // ONNX divides integers towards zero, TensorFlow towards minus infinity; 64-bit floats hold every int32 exactly.
  FloorDiv: (scope) => {
    const type = sourceTypes[scope.node.attr.T?.type ?? ''];
    if (type !== 'int32') unsupported(scope, `type ${scope.node.attr.T?.type}`);
    const quotient = scope.add('Div', [
      scope.cast(scope.input(0), 'float64'),
      scope.cast(scope.input(1), 'float64'),
    ]);
    return [scope.cast(scope.add('Floor', [quotient]), 'int32')];
  },

  LeakyRelu: (scope) => {
    const alpha = scope.node.attr.alpha?.f;
    if (alpha === undefined) unsupported(scope, 'a missing alpha');
    return [scope.add('LeakyRelu', [scope.input(0)], { alpha: { float: alpha } })];
  },

  Relu6: (scope) => [scope.add('Clip', [scope.input(0), scope.float32(0), scope.float32(6)])],

  SquaredDifference: (scope) => {
    const difference = scope.add('Sub', [scope.input(0), scope.input(1)]);
    return [scope.add('Mul', [difference, difference])];
  },
};
