/** Small TensorFlow.js graph models written by hand, to hold the converter against TensorFlow.js operator by operator. */
export interface SmallConstant {
  readonly shape: readonly number[];
  readonly values: readonly number[];
  readonly dtype?: 'float32' | 'int32';
}

interface SmallNode {
  readonly op: string;
  readonly inputs: readonly string[];
  readonly attr?: Readonly<Record<string, unknown>>;
}

export interface SmallGraph {
  /** Shape of the one input `x`. */
  readonly input: readonly number[];
  readonly inputType?: 'float32' | 'int32';
  readonly constants?: Readonly<Record<string, SmallConstant>>;
  /** Nodes by name; the outputs are those named in `outputs`. */
  readonly nodes: Readonly<Record<string, SmallNode>>;
  /** Node outputs such as `y` or `y:1`, with their type where it is not float. */
  readonly outputs: readonly string[];
  readonly outputType?: 'float32' | 'int32';
}

export interface WrittenGraph {
  readonly json: string;
  readonly weights: Uint8Array;
}

const typeNames = { float32: 'DT_FLOAT', int32: 'DT_INT32' } as const;

const dims = (shape: readonly number[]) => ({ dim: shape.map((size) => ({ size: String(size) })) });

/** Attribute values as protobuf writes them into JSON. */
export const attributes = {
  int: (value: number) => ({ i: String(value) }),
  float: (value: number) => ({ f: value }),
  bool: (value: boolean) => ({ b: value }),
  text: (value: string) => ({ s: Buffer.from(value).toString('base64') }),
  type: (value: string) => ({ type: value }),
  ints: (...values: number[]) => ({ list: { i: values.map(String) } }),
  texts: (...values: string[]) => ({
    list: { s: values.map((value) => Buffer.from(value).toString('base64')) },
  }),
};

export function writeGraph(graph: SmallGraph): WrittenGraph {
  const constants = Object.entries(graph.constants ?? {});
  const inputType = graph.inputType ?? 'float32';
  const node = [
    {
      name: 'x',
      op: 'Placeholder',
      attr: { dtype: { type: typeNames[inputType] }, shape: { shape: dims(graph.input) } },
    },
    ...constants.map(([name, { dtype = 'float32' }]) => ({
      name,
      op: 'Const',
      attr: { dtype: { type: typeNames[dtype] } },
    })),
    ...Object.entries(graph.nodes).map(([name, { op, inputs, attr }]) => ({
      name,
      op,
      input: inputs,
      attr: attr ?? {},
    })),
  ];
  const outputType = typeNames[graph.outputType ?? 'float32'];
  const signature = {
    inputs: { x: { name: 'x:0', dtype: typeNames[inputType], tensorShape: dims(graph.input) } },
    outputs: Object.fromEntries(
      graph.outputs.map((value, index) => [
        `out${index}`,
        {
          name: value.includes(':') ? value : `${value}:0`,
          dtype: outputType,
          tensorShape: { unknownRank: true },
        },
      ]),
    ),
  };
  const bytes: number[] = [];
  const weights = constants.map(([name, { shape, values, dtype = 'float32' }]) => {
    const typed = dtype === 'float32' ? Float32Array.from(values) : Int32Array.from(values);
    bytes.push(...new Uint8Array(typed.buffer));
    return { name, shape, dtype };
  });
  return {
    json: JSON.stringify({
      format: 'graph-model',
      signature,
      modelTopology: { node, library: {}, versions: {} },
      weightsManifest: [{ paths: ['w.bin'], weights }],
    }),
    weights: Uint8Array.from(bytes),
  };
}
