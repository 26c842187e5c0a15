import { createServer } from 'node:http';
import { codedError } from '../../pipeline/errors.ts';
import { systemMeaning } from '../../pipeline/store/system-error.ts';
import type { WorkerState } from './runs.ts';

/** The text format that Prometheus reads (Prometheus documentation, "Exposition formats", version 0.0.4). */
export function metricsText(
  { measured, lost, threads, perMinute }: WorkerState,
  residentBytes: number,
): string {
  const metric = (name: string, type: string, help: string, value: number): string =>
    `# HELP ${name} ${help}\n# TYPE ${name} ${type}\n${name} ${value}\n`;
  return [
    metric('nightrail_frames_total', 'counter', 'Frames this worker has finished.', measured),
    metric(
      'nightrail_frames_unmeasured_total',
      'counter',
      'Frames among them that could not be measured.',
      lost,
    ),
    metric('nightrail_frames_per_minute', 'gauge', 'Frames finished in the last minute.', perMinute),
    metric('nightrail_threads', 'gauge', 'Frames measured at once.', threads),
    metric(
      'process_resident_memory_bytes',
      'gauge',
      'Memory of this process without the one that measures.',
      residentBytes,
    ),
  ].join('');
}

/**
 * Serves metrics on the loopback address alone.
 *
 * @returns A function that ends it.
 * @throws CodedError `metrics-not-served`.
 */
export async function serveMetrics(port: number, state: () => WorkerState): Promise<() => void> {
  const server = createServer((request, response) => {
    if (request.url !== '/metrics') {
      response.writeHead(404).end();
      return;
    }
    response
      .writeHead(200, { 'content-type': 'text/plain; version=0.0.4; charset=utf-8' })
      .end(metricsText(state(), process.memoryUsage.rss()));
  });
  await new Promise<void>((resolve, reject) => {
    server.once('error', (error) =>
      reject(codedError('metrics-not-served', { port, what: systemMeaning(error) }, error)),
    );
    server.listen(port, '127.0.0.1', resolve);
  });
  return () => server.close();
}
