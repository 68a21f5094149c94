import { defineConfig } from 'vitest/config'

/** The tests that the mutation command names, their properties with fewer cases and one seed. */
export default defineConfig({
  resolve: { alias: [{ find: /^fast-check$/, replacement: `${import.meta.dirname}/test/mutation/few-cases.ts` }] },
  test: { include: (process.env.MUTATE_TESTS ?? '').split(';'), testTimeout: 60_000 },
})
