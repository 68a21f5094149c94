/** Mutation testing, one folder or file at a time: `npm run mutate grammar/units`. See DEVELOPERS.md. */
export default {
  testRunner: 'vitest',
  vitest: { configFile: 'vitest.mutate.config.ts', related: false },
  plugins: ['@stryker-mutator/vitest-runner'],
  coverageAnalysis: 'perTest',
  ignoreStatic: true,
  reporters: ['json', 'progress-append-only'],
  jsonReporter: { fileName: 'dist/mutation/report.json' },
  tempDirName: 'dist/mutation/sandbox',
  concurrency: 2,
  timeoutMS: 2500,
  timeoutFactor: 1.2,
  checkers: [],
  disableTypeChecks: false,
}
