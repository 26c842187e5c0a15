import { InferenceSession, Tensor } from 'onnxruntime-node';
import { describe, expect, it } from 'vitest';
import { convertToOnnx } from '../../../models/convert/convert.ts';
import { attributes, type SmallGraph, writeGraph } from '../../helpers/small-graph.ts';

const { type } = attributes;
const add: SmallGraph = {
  input: [2, 2],
  constants: { c: { shape: [2], values: [0.5, -3] } },
  nodes: { y: { op: 'Add', inputs: ['x', 'c'], attr: { T: type('DT_FLOAT') } } },
  outputs: ['y'],
};

/** The graph with its one constant stored in another way. */
function stored(bytes: Uint8Array, quantization: object): readonly [string, Uint8Array] {
  const model = JSON.parse(writeGraph(add).json) as {
    weightsManifest: { weights: object[] }[];
  };
  const [group] = model.weightsManifest;
  group!.weights = group!.weights.map((weight) => ({ ...weight, quantization }));
  return [JSON.stringify(model), bytes];
}

async function run(bytes: Uint8Array): Promise<number[]> {
  const session = await InferenceSession.create(bytes, { intraOpNumThreads: 1 });
  const { out0 } = await session.run({ x: new Tensor('float32', Float32Array.of(1, 2, 3, 4), [2, 2]) });
  return [...(out0!.data as Float32Array)];
}

describe('converter', () => {
  it('gives equal bytes for equal sources', () => {
    const { json, weights } = writeGraph(add);
    expect(convertToOnnx(json, weights, 'a')).toEqual(convertToOnnx(json, weights, 'a'));
  });

  it('reads 16-bit floats as they are', async () => {
    // IEEE 754 binary16, worked out by hand: 0x3800 is 0.5, 0xc200 is -3.
    const [json, weights] = stored(Uint8Array.of(0x00, 0x38, 0x00, 0xc2), { dtype: 'float16' });
    expect(await run(convertToOnnx(json, weights, 'half'))).toEqual([1.5, -1, 3.5, 1]);
  });

  it.each([
    ['uint8', Uint8Array.of(14, 0)],
    ['uint16', Uint8Array.of(14, 0, 0, 0)],
  ] as const)('reads %s codes as code * scale + min', async (dtype, bytes) => {
    // 14 * 0.25 - 3 = 0.5 and 0 * 0.25 - 3 = -3.
    const [json, weights] = stored(bytes, { dtype, scale: 0.25, min: -3 });
    expect(await run(convertToOnnx(json, weights, dtype))).toEqual([1.5, -1, 3.5, 1]);
  });

  it('names an operator it does not know, and the node', () => {
    const { json, weights } = writeGraph({ ...add, nodes: { y: { op: 'Softplus', inputs: ['x'] } } });
    expect(() => convertToOnnx(json, weights, 'a')).toThrow(/operator Softplus \(node y\) is unknown/);
  });

  it('names a case of an operator it does not know', () => {
    const { json, weights } = writeGraph({
      ...add,
      input: [1, 4, 4, 1],
      constants: { w: { shape: [1, 1, 1, 1], values: [1] } },
      nodes: {
        y: {
          op: 'Conv2D',
          inputs: ['x', 'w'],
          attr: { padding: attributes.text('EXPLICIT'), strides: attributes.ints(1, 1, 1, 1) },
        },
      },
    });
    expect(() => convertToOnnx(json, weights, 'a')).toThrow('Conv2D y: padding "EXPLICIT" is not supported');
  });

  it('says where a value is missing', () => {
    const { json, weights } = writeGraph({ ...add, nodes: { y: { op: 'Relu', inputs: ['z'] } } });
    expect(() => convertToOnnx(json, weights, 'a')).toThrow('y asks for z, which the graph does not have');
  });

  it('refuses a weight file that is too short or too long', () => {
    const { json, weights } = writeGraph(add);
    expect(() => convertToOnnx(json, weights.subarray(0, 7), 'a')).toThrow(
      'weight c: the weight file ends after 7 bytes',
    );
    expect(() => convertToOnnx(json, Uint8Array.of(...weights, 0), 'a')).toThrow(
      'expected a weight file of 8 bytes, received 9',
    );
  });

  it('refuses what is no graph model', () => {
    expect(() => convertToOnnx('{"format":"layers-model"}', new Uint8Array(), 'a')).toThrow();
  });
});
