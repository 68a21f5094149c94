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
  // MUTATE_HANDS=1 leaves a core to others.
  concurrency: Number(process.env.MUTATE_HANDS ?? 2),
  // Long, since a busy machine would else pass for a mutant that never ends.
  timeoutMS: 8000,
  timeoutFactor: 1.2,
  checkers: [],
  disableTypeChecks: false,
}
