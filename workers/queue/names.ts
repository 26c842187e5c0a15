/**
 * Names in Redis. The braces round the prefix are a cluster's hash tag (Redis Cluster Specification, "Hash tags"): all keys
 * of one installation lie in one slot, which scripts over several keys need.
 * Queues carry the measurement version: a worker of another version never gets a frame that it would measure otherwise.
 */
export const defaultPrefix = 'nightrail';

export interface QueueNames {
  readonly prefix: string;
  /** One job a delivery; waits for its garments. */
  readonly deliveries: string;
  /** One job a garment; waits for its frames. */
  readonly garments: string;
  /** One job a garment that puts its frames into the queue when there is room. */
  readonly openings: string;
  readonly frames: string;
}

export function queueNames(prefix: string, version: string): QueueNames {
  return {
    prefix: `{${prefix}}`,
    deliveries: `deliveries-${version}`,
    garments: `garments-${version}`,
    openings: `openings-${version}`,
    frames: `frames-${version}`,
  };
}

/** A run's own name; begins with a letter because job ids of digits only are taken for counters. */
export function newRunId(): string {
  return `r${crypto.randomUUID().replaceAll('-', '').slice(0, 16)}`;
}

export const jobIds = {
  delivery: (run: string) => run,
  garment: (run: string, garment: number) => `${run}_${garment}`,
  opening: (run: string, garment: number) => `${run}_${garment}_open`,
  frame: (run: string, garment: number, frame: number) => `${run}_${garment}_${frame}`,
} as const;

/** Place of a frame's record in its garment's list, from the key of its job. */
export function frameIndexOf(jobKey: string): number {
  return Number(jobKey.slice(jobKey.lastIndexOf('_') + 1));
}
