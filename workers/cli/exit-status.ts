import { CodedError } from '../../pipeline/errors.ts';

/** What the command's exit status tells a script. */
export const exitStatus = {
  /** Every garment passes. */
  pass: 0,
  /** The run is complete and something does not pass. */
  findings: 1,
  /** The command, profile or sheet is wrong. */
  usage: 2,
  /** The run could not be completed. */
  incomplete: 3,
} as const;
export type ExitStatus = (typeof exitStatus)[keyof typeof exitStatus];

export function statusOf(error: unknown): ExitStatus {
  return error instanceof CodedError && error.kind === 'usage' ? exitStatus.usage : exitStatus.incomplete;
}
