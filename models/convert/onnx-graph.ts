/** Collects ONNX nodes and initialisers and writes them as a model. Names are counted, so equal calls give equal bytes. */
import { create, toBinary } from '@bufbuild/protobuf';
import {
  AttributeProto_AttributeType,
  AttributeProtoSchema,
  ModelProtoSchema,
  NodeProtoSchema,
  TensorProto_DataType,
  TensorProtoSchema,
  TypeProtoSchema,
  ValueInfoProtoSchema,
} from 'onnx-buf';

/** Operator set and file version of the ONNX standard that the converter writes (onnx.ai, versions table: opset 18 is IR 8). */
const operatorSet = 18n;
const irVersion = 8n;

export const dataType = TensorProto_DataType;

export type Attribute = number | string | readonly number[] | { readonly float: number };

interface TensorData {
  readonly type: TensorProto_DataType;
  readonly shape: readonly number[];
  readonly data: ArrayBufferView<ArrayBufferLike>;
}

export interface ValueInfo {
  readonly name: string;
  readonly type: TensorProto_DataType;
  /** A string names a size that is known only at run time; `null`: not even the number of axes is known. */
  readonly shape: readonly (number | string)[] | null;
}

function attribute(name: string, value: Attribute) {
  if (typeof value === 'number') {
    return create(AttributeProtoSchema, { name, type: AttributeProto_AttributeType.INT, i: BigInt(value) });
  }
  if (typeof value === 'string') {
    const s = Uint8Array.from(Buffer.from(value, 'utf8'));
    return create(AttributeProtoSchema, { name, type: AttributeProto_AttributeType.STRING, s });
  }
  if ('float' in value) {
    return create(AttributeProtoSchema, { name, type: AttributeProto_AttributeType.FLOAT, f: value.float });
  }
  const ints = value.map((entry) => BigInt(entry));
  return create(AttributeProtoSchema, { name, type: AttributeProto_AttributeType.INTS, ints });
}

function valueInfo({ name, type, shape }: ValueInfo) {
  const dim = shape?.map((size) => ({
    value:
      typeof size === 'number'
        ? ({ case: 'dimValue', value: BigInt(size) } as const)
        : ({ case: 'dimParam', value: size } as const),
  }));
  return create(ValueInfoProtoSchema, {
    name,
    type: create(TypeProtoSchema, {
      value: {
        case: 'tensorType',
        value: dim === undefined ? { elemType: type } : { elemType: type, shape: { dim } },
      },
    }),
  });
}

export interface OnnxGraph {
  /** Adds a node and returns the names of its outputs. */
  add(
    opType: string,
    inputs: readonly string[],
    attributes?: Readonly<Record<string, Attribute>>,
    outputCount?: number,
  ): readonly string[];
  /** Adds an initialiser and returns its name. */
  tensor(tensor: TensorData): string;
  /** Gives a value the name of a graph output. */
  output(value: string, info: ValueInfo): void;
  input(info: ValueInfo): void;
  /** The model as bytes of the ONNX protobuf. */
  bytes(name: string): Uint8Array;
}

export function createOnnxGraph(): OnnxGraph {
  const nodes: ReturnType<typeof create<typeof NodeProtoSchema>>[] = [];
  const initializers: ReturnType<typeof create<typeof TensorProtoSchema>>[] = [];
  const inputs: ReturnType<typeof valueInfo>[] = [];
  const outputs: ReturnType<typeof valueInfo>[] = [];
  let count = 0;

  const addNode = (
    opType: string,
    input: readonly string[],
    attributes: Readonly<Record<string, Attribute>>,
    output: readonly string[],
  ): void => {
    nodes.push(
      create(NodeProtoSchema, {
        name: `node${nodes.length}`,
        opType,
        input: [...input],
        output: [...output],
        attribute: Object.entries(attributes).map(([key, value]) => attribute(key, value)),
      }),
    );
  };

  return {
    add(opType, input, attributes = {}, outputCount = 1) {
      const output = Array.from({ length: outputCount }, () => `v${count++}`);
      addNode(opType, input, attributes, output);
      return output;
    },
    tensor({ type, shape, data }) {
      const name = `c${initializers.length}`;
      const rawData = new Uint8Array(data.byteLength);
      rawData.set(new Uint8Array(data.buffer, data.byteOffset, data.byteLength));
      initializers.push(
        create(TensorProtoSchema, { name, dataType: type, dims: shape.map((size) => BigInt(size)), rawData }),
      );
      return name;
    },
    output(value, info) {
      addNode('Identity', [value], {}, [info.name]);
      outputs.push(valueInfo(info));
    },
    input(info) {
      inputs.push(valueInfo(info));
    },
    bytes(name) {
      const model = create(ModelProtoSchema, {
        irVersion,
        producerName: 'nightrail models/convert',
        opsetImport: [{ domain: '', version: operatorSet }],
        graph: { name, node: nodes, initializer: initializers, input: inputs, output: outputs },
      });
      return toBinary(ModelProtoSchema, model);
    },
  };
}
