import { spawnSync } from 'node:child_process';
import { threadBudget } from '../../workers/thread-budget.ts';

/** Starts this program anew in the environment of the product's measuring process, which takes effect only at a start; ends with it. */
export function enterMeasuringEnvironment(): void {
  const { environment } = threadBudget(1);
  if (process.env.VIPS_CONCURRENCY === environment.VIPS_CONCURRENCY) return;
  const [program, ...parameters] = process.argv;
  const again = spawnSync(program!, [...process.execArgv, ...parameters], {
    env: { ...process.env, ...environment },
    stdio: 'inherit',
  });
  process.exit(again.status ?? 1);
}
