/** The tests that can tell a mutant of each room from the original: the first room that holds a path counts. Left out are those that count what they met over hundreds of cases, and slow ones beside quick ones that say as much. */
const ROOMS: readonly (readonly [string, readonly string[]])[] = [
  ['grammar/units', ['test/language/units-*.test.ts']],
  ['grammar', ['test/language/{faults,forms,lexical,nearest,reading,render,tidy}.test.ts']],
  ['solver/interval', ['test/solver/interval*.test.ts']],
  ['solver/linear', ['test/solver/linear*.test.ts', 'test/solver/network-linear.test.ts']],
  ['solver/model', ['test/solver/curve.test.ts']],
  ['solver/search/survey.ts', ['test/solver/search-jumps.test.ts']],
  ['solver/search/promising.ts', ['test/solver/search-{few-plain,jumps}.test.ts']],
  ['solver/network', ['test/solver/network*.test.ts']],
  ['solver/search', ['test/solver/search-{chain,few-plain,parts,plain}.test.ts']],
  ['solver/conflict', ['test/solver/conflict-*.test.ts', 'test/properties/sets.test.ts']],
  ['solver/price', ['test/solver/price-plain.test.ts', 'test/sheets/prices.test.ts']],
  ['solver/map', ['test/solver/{map,front}-*.test.ts']],
  [
    'solver/flight/whole',
    [
      'test/physics/{whole-agrees,whole-closed-form,whole-course,whole-faults,whole-slopes,crew-margin,stack-agrees}.test.ts',
    ],
  ],
  [
    'solver/flight',
    [
      'test/physics/{air-slopes,closed-form,course,grades,plan-faults,reference,stack-agrees,us76,whole-agrees,worlds}.test.ts',
    ],
  ],
  ['solver', ['test/sheets/{heron,answers,sensitivities}.test.ts']],
]

/** The tests to run for mutants of a file or folder. */
export function testsFor(path: string): readonly string[] {
  const room = ROOMS.find(([name]) => path === name || path.startsWith(`${name}/`))
  if (!room) throw new Error(`no tests are named for ${path} in test/mutation/rooms.ts`)
  return room[1]
}
