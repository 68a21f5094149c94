import { defineConfig } from 'vitest/config'

// What the tests of the command and of the page stand on, the command built, the page built and a browser, is made only where one of them runs.
export default defineConfig({
  test: {
    passWithNoTests: false,
    testTimeout: 60_000,
    maxWorkers: 2,
    // Files share what a worker has loaded and compiled: a third less work. Nothing here has a state that would pass from one to the next.
    isolate: false,
    projects: [
      {
        extends: true,
        test: { name: 'library', include: ['test/**/*.test.ts'], exclude: ['test/{browser,command}/**'] },
      },
      {
        extends: true,
        test: { name: 'command', include: ['test/command/*.test.ts'], globalSetup: 'test/command/set-up.ts' },
      },
      {
        extends: true,
        test: {
          name: 'browser',
          include: ['test/browser/*.test.ts'],
          globalSetup: 'test/browser/set-up.ts',
          testTimeout: 180_000,
        },
      },
    ],
  },
})
