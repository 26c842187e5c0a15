/** Processor and wall time by named stage, frame after frame. A stage inside another is not counted twice. */
import type { Observe } from '../../pipeline/measure/measure-frame.ts';
import { median } from '../../pipeline/numeric/statistics.ts';

export interface Cost {
  readonly cpuMs: number;
  readonly wallMs: number;
}

function now(): Cost {
  const { user, system } = process.cpuUsage();
  return { cpuMs: (user + system) / 1000, wallMs: performance.now() };
}

const sum = (a: Cost, b: Cost): Cost => ({ cpuMs: a.cpuMs + b.cpuMs, wallMs: a.wallMs + b.wallMs });
const difference = (a: Cost, b: Cost): Cost => ({ cpuMs: a.cpuMs - b.cpuMs, wallMs: a.wallMs - b.wallMs });
const nothing: Cost = { cpuMs: 0, wallMs: 0 };

export class StageClock {
  private readonly frames: Map<string, Cost>[] = [];
  private frame = new Map<string, Cost>();
  /** What the stages inside each open stage took. */
  private readonly inside: Cost[] = [];

  readonly observe: Observe = async (stage, work) => {
    const began = now();
    this.inside.push(nothing);
    const result = await work();
    const took = difference(now(), began);
    const own = difference(took, this.inside.pop() ?? nothing);
    const outer = this.inside.pop();
    if (outer !== undefined) this.inside.push(sum(outer, took));
    this.frame.set(stage, sum(this.frame.get(stage) ?? nothing, own));
    return result;
  };

  endFrame(): void {
    this.frames.push(this.frame);
    this.frame = new Map();
  }

  /** In the order in which they first came up. */
  stages(): readonly string[] {
    return [...new Set(this.frames.flatMap((frame) => [...frame.keys()]))];
  }

  /** Of each frame: the stage's time, or that of all the stages named. */
  costs(...stages: readonly string[]): readonly Cost[] {
    return this.frames.map((frame) =>
      stages.map((stage) => frame.get(stage) ?? nothing).reduce(sum, nothing),
    );
  }
}

function spreadBy(values: readonly number[], short: (value: number) => string): string {
  return `${short(median(values))} (${short(Math.min(...values))} to ${short(Math.max(...values))})`;
}

/** Median with the least and the most, ms to three figures. */
export const spread = (values: readonly number[]): string =>
  spreadBy(values, (ms) => ms.toFixed(ms < 10 ? 1 : 0));

/** The same of factors. */
export const factorSpread = (values: readonly number[]): string =>
  spreadBy(values, (factor) => factor.toFixed(2));
