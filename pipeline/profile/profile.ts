import type { DeliverySettings, Limit } from '../contracts/check.ts';

export interface CheckSettings {
  readonly off: boolean;
  /** Quantity to level to limit: every one the check declares. */
  readonly limits: Readonly<Record<string, Readonly<Record<string, Limit>>>>;
}

/** The limits of one store or studio, complete and deep-frozen. */
export interface Profile {
  readonly name: string;
  /** SHA-256 over the canonical JSON of everything else here, lower-case hex: equal for equal profiles, however they were written. */
  readonly hash: string;
  readonly delivery: DeliverySettings;
  /** Check id to its settings: every check has an entry. */
  readonly checks: Readonly<Record<string, CheckSettings>>;
}
