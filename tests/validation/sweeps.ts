import type { SweepPlan } from './sweep.ts';

/** Every sweep that needs nothing but the project and what `npm test` installs, in the order of the page and of the README's table. */
export const projectSweeps: readonly SweepPlan[] = [];
