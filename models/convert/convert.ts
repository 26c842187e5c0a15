/** A TensorFlow.js graph model as an ONNX model. The same bytes in give the same bytes out. */
import { createScope } from './emit.ts';
import { foldPadding } from './fold-padding.ts';
import { type Constant, type GraphModel, type Port, parseValue, readGraphModel } from './graph-model.ts';
import { createOnnxGraph, dataType, type ValueInfo } from './onnx-graph.ts';
import { operators } from './operators/index.ts';

const portTypes: Readonly<Record<string, ValueInfo['type']>> = {
  DT_FLOAT: dataType.FLOAT,
  DT_INT32: dataType.INT32,
};

/** One picture at a time: an open first axis becomes 1; any other open axis stays open under a name. */
function describePort(port: Port): ValueInfo {
  const type = portTypes[port.dtype];
  if (type === undefined) throw new Error(`port ${port.name}: type ${port.dtype} is not supported`);
  const shape = port.shape?.map((size, axis) => (size >= 0 ? size : axis === 0 ? 1 : `axis${axis}`)) ?? null;
  return { name: port.name, type, shape };
}

function convertGraph(model: GraphModel, name: string): Uint8Array {
  const graph = createOnnxGraph();
  const values = new Map<string, readonly (string | Constant)[]>();
  const resolve = (source: string): string | Constant => {
    const { node, index } = parseValue(source);
    const found = values.get(node)?.[index];
    if (found === undefined) throw new Error(`no value ${source}`);
    return found;
  };
  const inputNames = new Map(model.inputs.map((port) => [parseValue(port.value).node, port]));

  for (const node of model.nodes) {
    if (node.op === 'Placeholder') {
      const port = inputNames.get(node.name);
      if (port === undefined) throw new Error(`input ${node.name} is missing from the signature`);
      // The node knows which sizes are open; a signature may name only the size that was used for tracing.
      const dimensions = node.attr.shape?.shape?.dim;
      const info = describePort(
        dimensions === undefined ? port : { ...port, shape: dimensions.map(({ size }) => size) },
      );
      graph.input(info);
      values.set(node.name, [info.name]);
    } else if (node.op === 'Const') {
      const constant = model.constants.get(node.name);
      if (constant === undefined) throw new Error(`constant ${node.name} has no weights`);
      values.set(node.name, [constant]);
    } else {
      const emit = operators[node.op];
      if (emit === undefined) {
        throw new Error(
          `operator ${node.op} (node ${node.name}) is unknown: add it to models/convert/operators`,
        );
      }
      values.set(node.name, emit(createScope(node, graph, resolve)));
    }
  }
  for (const port of model.outputs) {
    const value = resolve(port.value);
    if (typeof value !== 'string') throw new Error(`output ${port.name} is a constant`);
    graph.output(value, describePort(port));
  }
  return graph.bytes(name);
}

/**
 * @param json text of `model.json`
 * @param weights its weight file
 * @param name name written into the ONNX graph
 * @returns bytes of an ONNX model, operator set 18
 * @throws naming operator and node where something is not among the cases written.
 */
export function convertToOnnx(json: string, weights: Uint8Array, name: string): Uint8Array {
  return convertGraph(foldPadding(readGraphModel(json, weights)), name);
}
