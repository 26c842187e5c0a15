import { median } from '../../pipeline/numeric/statistics.ts';
import { type Cost, spread } from './stage-clock.ts';
import type { Turns } from './turns.ts';

const measures = ['cpuMs', 'wallMs'] as const;

function row(name: string, costs: readonly Cost[]): void {
  const [cpu = '', wall = ''] = measures.map((of) => spread(costs.map((cost) => cost[of])));
  console.log(`  ${name.padEnd(32)} ${cpu.padStart(26)} ${wall.padStart(28)}`);
}

export interface Compared {
  /** Processor time over the floor's. */
  readonly overFloor: number;
  /** Wall time of the script over the product's; `null` without the script. */
  readonly timesTheScript: number | null;
}

/** One table: stages of the product, the floor, the script, and how they compare. 100 columns at most. */
export function printTurns(title: string, { product, floor, script }: Turns): Compared {
  const typical = (costs: readonly Cost[], of: (typeof measures)[number]): number =>
    median(costs.map((cost) => cost[of]));
  const isNetwork = (stage: string): boolean => stage.startsWith('network ');
  const stages = product.stages();
  const own = stages.filter((stage) => !isNetwork(stage));
  const looks = stages.filter(isNetwork);
  const all = product.costs(...stages);

  console.log(`\n${title}, ${all.length} frames; ms a frame, median (least to most)`);
  console.log(`  ${'stage'.padEnd(32)} ${'processor time'.padStart(26)} ${'wall time'.padStart(28)}`);
  for (const stage of [...own, ...looks]) row(stage, product.costs(stage));
  row('NIGHTRAIL', all);
  for (const stage of floor.stages()) row(`floor: ${stage}`, floor.costs(stage));
  const least = floor.costs(...floor.stages());
  row('FLOOR', least);
  if (script.length > 0) row("TECHNICIAN'S SCRIPT", script);

  const ours = typical(all, 'cpuMs');
  const asOften =
    typical(floor.costs('decode by sharp'), 'cpuMs') + typical(product.costs(...looks), 'cpuMs');
  const overFloor = ours / typical(least, 'cpuMs');
  console.log(`  processor time over the floor's: ${overFloor.toFixed(2)}`);
  console.log(`  over one decode and the networks as often as they run: ${(ours / asOften).toFixed(2)}`);
  if (script.length === 0) return { overFloor, timesTheScript: null };
  const [byCpu = 0, byWall = 0] = measures.map((of) => typical(script, of) / typical(all, of));
  const rate = (costs: readonly Cost[]): string => (1000 / typical(costs, 'wallMs')).toFixed(2);
  console.log(`  frames/s in turn, one process each: ${rate(all)}, script ${rate(script)}`);
  console.log(
    `  times as fast as the script: ${byWall.toFixed(2)} by wall, ${byCpu.toFixed(2)} by processor time`,
  );
  return { overFloor, timesTheScript: byWall };
}
