/** What the commands that check a delivery are asked in the same words, and what they read before they begin. */
import { resolve } from 'node:path';
import { checks } from '../../pipeline/checks/index.ts';
import type { Delivery } from '../../pipeline/contracts/delivery.ts';
import { besideDelivery, type DecisionSheet, readDecisions } from '../../pipeline/intake/decisions.ts';
import { readDelivery } from '../../pipeline/intake/read-delivery.ts';

export interface DeliveryOptions {
  /** Paths as given: relative ones count from the folder the command was called from. */
  readonly delivery: string;
  readonly out: string;
  readonly profile?: string | undefined;
  readonly garments?: string | undefined;
  /** How frames become garments without a sheet. */
  readonly group?: 'names' | 'capture' | undefined;
  /** Body to what is added to its clock, ms. */
  readonly clock?: ReadonlyMap<string, number> | undefined;
  /** What people decided; default: beside the delivery. */
  readonly decisions?: string | undefined;
  /** Frames measured at once. */
  readonly workers: number;
  readonly frameTimeoutS: number;
}

/** @throws CodedError of kind `usage`, as `readDelivery`. */
export function readAskedDelivery({ delivery, out, garments, group }: DeliveryOptions): Promise<Delivery> {
  return readDelivery(delivery, {
    out: resolve(out),
    ...(garments === undefined ? {} : { sheet: garments }),
    ...(group === undefined ? {} : { grouping: group }),
  });
}

/** @throws CodedError of kind `usage`, as `readDecisions`. */
export function readAskedDecisions({ decisions, delivery }: DeliveryOptions): Promise<DecisionSheet> {
  return readDecisions(
    resolve(decisions ?? besideDelivery(delivery)),
    checks.map(({ meta }) => meta.id),
  );
}
