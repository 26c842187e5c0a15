import type { Reporter, TestModule } from 'vitest/node';

/** Closes a run with one plain line, and makes a skipped test a failure in CI: a test that silently does not run proves nothing. */
export default class Tally implements Reporter {
  onTestRunEnd(modules: readonly TestModule[]): void {
    const states = modules.flatMap((module) =>
      [...module.children.allTests()].map((test) => test.result().state),
    );
    const count = (state: string): number => states.filter((is) => is === state).length;
    const unloaded = modules.filter((module) => module.errors().length > 0).length;
    const skipped = count('skipped') + count('pending');
    const failed = count('failed') + unloaded;
    console.log(`\n${count('passed')} passed, ${failed} failed${skipped > 0 ? `, ${skipped} skipped` : ''}`);
    if (skipped > 0 && process.env.CI) {
      console.error('A skipped test is a failure in CI.');
      process.exitCode = 1;
    }
  }
}
