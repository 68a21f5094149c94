import { defineConfig } from 'vitest/config'

export default defineConfig({
  test: {
    include: ['test/**/*.test.ts'],
    passWithNoTests: false,
    testTimeout: 60_000,
    maxWorkers: 2,
    globalSetup: 'test/support/chromium.ts',
  },
})
