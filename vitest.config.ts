import { defineConfig } from 'vitest/config';

/** `npm test` runs every project but the slow ones, which are named scripts of their own (see DEVELOPERS.md). */
const project = (name: string, include: string[], testTimeout = 30_000) => ({
  extends: true as const,
  test: { name, include, testTimeout, hookTimeout: 60_000 },
});

export default defineConfig({
  test: {
    pool: 'forks',
    projects: [
      project('unit', ['tests/unit/**/*.test.{ts,tsx}']),
      project('reference', ['tests/reference/**/*.test.ts'], 60_000),
      project('order', ['tests/order/**/*.test.ts']),
      project('rules', ['tests/rules/**/*.test.ts']),
      project('dispatch', ['tests/dispatch/**/*.test.ts'], 120_000),
      project('e2e', ['tests/e2e/**/*.test.ts'], 240_000),
      project('faults', ['tests/faults/**/*.test.ts'], 240_000),
      project('browser', ['tests/browser/**/*.test.ts'], 120_000),
    ],
  },
});
