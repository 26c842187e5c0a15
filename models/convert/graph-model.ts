/** Reads a TensorFlow.js graph model (`model.json` and its weight file) into plain nodes and constants. */
import { z } from 'zod';

const dimensionSchema = z.object({ size: z.coerce.number().int() });
const shapeSchema = z.object({
  dim: z.array(dimensionSchema).optional(),
  unknownRank: z.boolean().optional(),
});

const attributeSchema = z.object({
  i: z.coerce.number().optional(),
  f: z.number().optional(),
  b: z.boolean().optional(),
  /** Base64, as protobuf bytes are in JSON. */
  s: z.string().optional(),
  type: z.string().optional(),
  shape: shapeSchema.optional(),
  list: z.object({ i: z.array(z.coerce.number()).optional(), s: z.array(z.string()).optional() }).optional(),
});

const nodeSchema = z.object({
  name: z.string(),
  op: z.string(),
  input: z.array(z.string()).default([]),
  attr: z.record(z.string(), attributeSchema).default({}),
});

const weightSchema = z.object({
  name: z.string(),
  shape: z.array(z.number().int()),
  dtype: z.enum(['float32', 'int32']),
  quantization: z
    .object({
      dtype: z.enum(['float16', 'uint8', 'uint16']),
      original_dtype: z.string().optional(),
      scale: z.number().optional(),
      min: z.number().optional(),
    })
    .optional(),
});

const portSchema = z.object({
  name: z.string(),
  dtype: z.string(),
  tensorShape: shapeSchema,
});
const signatureSchema = z.object({
  inputs: z.record(z.string(), portSchema),
  outputs: z.record(z.string(), portSchema),
});

const modelSchema = z.object({
  format: z.literal('graph-model'),
  signature: signatureSchema.optional(),
  userDefinedMetadata: z.object({ signature: signatureSchema.optional() }).optional(),
  modelTopology: z.object({ node: z.array(nodeSchema) }),
  weightsManifest: z.array(z.object({ weights: z.array(weightSchema) })),
});

export type SourceNode = z.infer<typeof nodeSchema>;
type Weight = z.infer<typeof weightSchema>;

/** A weight of the source. `bits` holds IEEE 754 binary16 patterns where the source stored 16-bit floats. */
export interface Constant {
  readonly shape: readonly number[];
  readonly data:
    | { readonly type: 'float32'; readonly values: Float32Array }
    | { readonly type: 'float16'; readonly bits: Uint16Array }
    | { readonly type: 'int32'; readonly values: Int32Array };
}

export interface Port {
  /** Name under which callers know it: the key of the source's signature without its `:0`. */
  readonly name: string;
  /** Source value, `node` or `node:index`. */
  readonly value: string;
  readonly dtype: string;
  /** -1 where a size is open; `null` where the source does not say how many axes there are. */
  readonly shape: readonly number[] | null;
}

export interface GraphModel {
  /** Every node that an output depends on, inputs before their users. */
  readonly nodes: readonly SourceNode[];
  readonly constants: ReadonlyMap<string, Constant>;
  readonly inputs: readonly Port[];
  readonly outputs: readonly Port[];
}

/** Splits `node:2` into node name and output index; `node` alone is its output 0. */
export function parseValue(value: string): { readonly node: string; readonly index: number } {
  const colon = value.lastIndexOf(':');
  return colon < 0
    ? { node: value, index: 0 }
    : { node: value.slice(0, colon), index: Number(value.slice(colon + 1)) };
}

/** Inputs that carry data; `^node` only orders execution in TensorFlow. */
export function dataInputs(node: SourceNode): readonly string[] {
  return node.input.filter((name) => !name.startsWith('^'));
}

function readWeight(weight: Weight, bytes: Uint8Array, offset: number): { constant: Constant; size: number } {
  const count = weight.shape.reduce((product, size) => product * size, 1);
  const stored = weight.quantization?.dtype ?? weight.dtype;
  const size = count * { float32: 4, int32: 4, float16: 2, uint16: 2, uint8: 1 }[stored];
  if (offset + size > bytes.length) {
    throw new Error(`weight ${weight.name}: the weight file ends after ${bytes.length} bytes`);
  }
  // A copy: the typed views below need an aligned start, and Buffer.slice would share memory.
  const own = Uint8Array.from(bytes.subarray(offset, offset + size)).buffer;
  const { shape } = weight;
  if (stored === 'float16')
    return { constant: { shape, data: { type: 'float16', bits: new Uint16Array(own) } }, size };
  if (stored === 'float32') {
    return { constant: { shape, data: { type: 'float32', values: new Float32Array(own) } }, size };
  }
  if (stored === 'int32')
    return { constant: { shape, data: { type: 'int32', values: new Int32Array(own) } }, size };
  const { scale, min } = weight.quantization ?? {};
  if (scale === undefined || min === undefined || weight.dtype !== 'float32') {
    throw new Error(`weight ${weight.name}: expected float32 quantised with scale and min`);
  }
  // value = code * scale + min, rounded once to float32: as TensorFlow.js does on loading.
  const codes = stored === 'uint8' ? new Uint8Array(own) : new Uint16Array(own);
  const values = Float32Array.from(codes, (code) => code * scale + min);
  return { constant: { shape, data: { type: 'float32', values } }, size };
}

function ports(record: z.infer<typeof signatureSchema>['inputs']): Port[] {
  return Object.entries(record).map(([key, port]) => ({
    name: key.replace(/:0$/, ''),
    value: port.name,
    dtype: port.dtype,
    shape: port.tensorShape.unknownRank
      ? null
      : (port.tensorShape.dim ?? []).map((dimension) => dimension.size),
  }));
}

function sortFrom(outputs: readonly Port[], all: readonly SourceNode[]): SourceNode[] {
  const byName = new Map(all.map((node) => [node.name, node]));
  const done = new Set<string>();
  const sorted: SourceNode[] = [];
  const visit = (value: string, user: string): void => {
    const name = parseValue(value).node;
    if (done.has(name)) return;
    done.add(name);
    const node = byName.get(name);
    if (node === undefined) throw new Error(`${user} asks for ${name}, which the graph does not have`);
    for (const input of dataInputs(node)) visit(input, name);
    sorted.push(node);
  };
  for (const output of outputs) visit(output.value, 'the signature');
  return sorted;
}

/**
 * @param json text of `model.json`
 * @param bytes its weight file
 * @throws where the JSON is no graph model, has no signature, or the weight file is not as long as the manifest says.
 */
export function readGraphModel(json: string, bytes: Uint8Array): GraphModel {
  const model = modelSchema.parse(JSON.parse(json));
  const signature = model.signature ?? model.userDefinedMetadata?.signature;
  if (signature === undefined) throw new Error('the graph model has no signature');
  const constants = new Map<string, Constant>();
  let offset = 0;
  for (const weight of model.weightsManifest.flatMap((group) => group.weights)) {
    const { constant, size } = readWeight(weight, bytes, offset);
    constants.set(weight.name, constant);
    offset += size;
  }
  if (offset !== bytes.length) {
    throw new Error(`expected a weight file of ${offset} bytes, received ${bytes.length}`);
  }
  const outputs = ports(signature.outputs);
  return {
    nodes: sortFrom(outputs, model.modelTopology.node),
    constants,
    inputs: ports(signature.inputs),
    outputs,
  };
}
