/** What an operator's emitter sees: its source node, its inputs as ONNX values or as constants, and the graph to add to. */
import { type Constant, dataInputs, type SourceNode } from './graph-model.ts';
import { type Attribute, dataType, type OnnxGraph } from './onnx-graph.ts';

export interface Scope {
  readonly node: SourceNode;
  readonly inputCount: number;
  /** ONNX value of input `index`. */
  input(index: number): string;
  /** Input `index` as numbers; an error naming the node where the source computes it at run time. */
  constant(index: number): Constant;
  isConstant(index: number): boolean;
  add(opType: string, inputs: readonly string[], attributes?: Readonly<Record<string, Attribute>>): string;
  addMany(
    opType: string,
    inputs: readonly string[],
    attributes: Readonly<Record<string, Attribute>>,
    outputCount: number,
  ): readonly string[];
  /** A constant as an ONNX value; 16-bit floats stay 16 bits in the file and are widened on loading. */
  value(constant: Constant): string;
  int64(values: readonly number[], shape?: readonly number[]): string;
  float32(value: number): string;
  cast(value: string, type: keyof typeof onnxTypes): string;
}

/** Adds the ONNX nodes for one source node and returns its outputs (values, or constants worked out here). */
export type Emitter = (scope: Scope) => readonly (string | Constant)[];

export const onnxTypes = {
  float32: dataType.FLOAT,
  float64: dataType.DOUBLE,
  int32: dataType.INT32,
  int64: dataType.INT64,
  bool: dataType.BOOL,
} as const;

export function createScope(
  node: SourceNode,
  graph: OnnxGraph,
  resolve: (value: string) => string | Constant,
): Scope {
  const sources = dataInputs(node);
  const source = (index: number): string | Constant => {
    const name = sources[index];
    if (name === undefined) throw new Error(`${node.op} ${node.name}: has no input ${index}`);
    return resolve(name);
  };
  const value = ({ shape, data }: Constant): string => {
    if (data.type === 'int32') return graph.tensor({ type: dataType.INT32, shape, data: data.values });
    if (data.type === 'float32') return graph.tensor({ type: dataType.FLOAT, shape, data: data.values });
    const half = graph.tensor({ type: dataType.FLOAT16, shape, data: data.bits });
    return graph.add('Cast', [half], { to: dataType.FLOAT })[0]!;
  };
  return {
    node,
    inputCount: sources.length,
    input(index) {
      const found = source(index);
      return typeof found === 'string' ? found : value(found);
    },
    constant(index) {
      const found = source(index);
      if (typeof found === 'string')
        throw new Error(`${node.op} ${node.name}: input ${index} must be a constant`);
      return found;
    },
    isConstant: (index) => typeof source(index) !== 'string',
    add: (opType, inputs, attributes) => graph.add(opType, inputs, attributes)[0]!,
    addMany: (opType, inputs, attributes, outputCount) => graph.add(opType, inputs, attributes, outputCount),
    value,
    int64: (values, shape = [values.length]) =>
      graph.tensor({ type: dataType.INT64, shape, data: BigInt64Array.from(values, BigInt) }),
    float32: (number) => graph.tensor({ type: dataType.FLOAT, shape: [], data: Float32Array.of(number) }),
    cast: (name, type) => graph.add('Cast', [name], { to: onnxTypes[type] })[0]!,
  };
}

/** The numbers of an integer constant. */
export function integers(scope: Scope, index: number): readonly number[] {
  const { data } = scope.constant(index);
  if (data.type !== 'int32')
    throw new Error(`${scope.node.op} ${scope.node.name}: input ${index} must be int32`);
  return [...data.values];
}

/** The one number of an integer constant. */
export function integer(scope: Scope, index: number): number {
  const [first, ...rest] = integers(scope, index);
  if (first === undefined || rest.length > 0) {
    throw new Error(`${scope.node.op} ${scope.node.name}: input ${index} must be one number`);
  }
  return first;
}

/** A text attribute of the source node, `fallback` where it is absent. */
export function textAttribute(scope: Scope, name: string, fallback: string): string {
  const encoded = scope.node.attr[name]?.s;
  return encoded === undefined ? fallback : Buffer.from(encoded, 'base64').toString('utf8');
}

/** Stops the conversion: what the node asks for is not among the cases that were written and compared. */
export function unsupported(scope: Scope, what: string): never {
  throw new Error(`${scope.node.op} ${scope.node.name}: ${what} is not supported`);
}
