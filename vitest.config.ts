import { defineConfig } from 'vitest/config'

// What the tests of the command and of the page stand on, the command built, the page built and a browser, is made only where one of them runs.
const common = {
  testTimeout: 60_000,
  // Files share what a worker has loaded and compiled: a third less work. Nothing here has a state that would pass from one to the next.
  isolate: false,
}

export default defineConfig({
  test: {
    passWithNoTests: false,
    maxWorkers: 2,
    // Once for all of them: projects that took these settings over would each begin it anew.
    globalSetup: 'test/support/temporary.ts',
    projects: [
      {
        test: { ...common, name: 'library', include: ['test/**/*.test.ts'], exclude: ['test/{browser,command}/**'] },
      },
      {
        test: {
          ...common,
          name: 'command',
          include: ['test/command/*.test.ts'],
          globalSetup: 'test/command/set-up.ts',
        },
      },
      {
        test: {
          ...common,
          name: 'browser',
          include: ['test/browser/*.test.ts'],
          globalSetup: 'test/browser/set-up.ts',
          testTimeout: 180_000,
          // A machine that is busy elsewhere takes longer than the second that is usual to come to what is waited for.
          expect: { poll: { timeout: 15_000 } },
        },
      },
    ],
  },
})
