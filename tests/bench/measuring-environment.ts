import { spawnSync } from 'node:child_process';
import { threadBudget } from '../../workers/thread-budget.ts';

/** Starts this program anew with the environment and flags of the product's measuring process, which take effect only at a start; ends with it. */
export function enterMeasuringEnvironment(): void {
  const { environment, flags } = threadBudget(1);
  if (process.env.VIPS_CONCURRENCY === environment.VIPS_CONCURRENCY) return;
  const [program, ...parameters] = process.argv;
  const again = spawnSync(program!, [...process.execArgv, ...flags, ...parameters], {
    env: { ...process.env, ...environment },
    stdio: 'inherit',
  });
  process.exit(again.status ?? 1);
}
