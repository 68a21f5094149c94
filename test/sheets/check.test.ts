import { readFileSync } from 'node:fs'
import { expect, test } from 'vitest'
import { openSheet } from '../../sheets/index.ts'
import { checkReport } from '../../sheets/report/check-report.ts'
import { print } from '../../sheets/report/marked.ts'

const example = (name: string): string =>
  readFileSync(new URL(`../../sheets/examples/${name}.loft`, import.meta.url), 'utf8')

test('a check of the first example finds nothing wrong, and says where the throttle cap is of no use', () => {
  const answer = openSheet(example('heron')).check()
  expect(answer.problems).toEqual([])
  expect(answer['left over']).toEqual([])
  // By hand: 0.30 × 300 kg of propellant over 165 kg make 255 kg, so a ratio of 2 asks 2 × 255 × 9.80665 N of 15.4 kN: 32.5 %.
  expect(answer.remarks.map(({ line, message }) => [line, message])).toEqual([
    [12, '"throttle cap" below 33 % never meets "liftoff ratio at least 2".'],
  ])
})

test('a check flies nothing: a sheet whose flights would all fail is looked over all the same', () => {
  const text = example('heron').replace('fact  dry mass          = 165 kg', 'fact  dry mass          = 165000 kg')
  const { problems } = openSheet(text).check()
  expect(problems.map(({ line, message }) => [line, message])).toEqual([
    [
      18,
      // By hand: 15,400 N over (165,090 kg × 9.80665 m/s²) is 0.00951.
      "No setting in the levers' ranges meets this: liftoff ratio is never above 0.00952.",
    ],
  ])
})

test('the page of a check shows what is left over, and remarks with their lines, hung under one another', () => {
  const sheet = openSheet(example('two-sites'))
  const page = print(checkReport(sheet.check(), 'two-sites.loft', sheet.title, 80))
  expect(page).toContain(`
left over     gain

remarks       line 14: "throttle cap" below 33 % never meets "liftoff ratio of
                       coast at least 2".
              line 17: Nothing asks for "gain"; it is only shown.

In order: 2 levers, 5 targets.
`)
  const narrow = print(checkReport(sheet.check(), 'two-sites.loft', sheet.title, 40))
  expect(narrow.split('\n').filter(line => line.length > 40)).toEqual([])
  expect(narrow).toContain(`
              drag loss of coast,
              back pressure loss of
                coast,
              burnout angle of coast,
`)
  expect(narrow).toContain(`
targets       liftoff ratio of coast at
                least 2
              peak g of plateau at most
                6.2 g0
              max q of coast at most
                70 kPa
`)
})

test('a wrong sheet is not looked over, but told what is known of it', () => {
  const answer = openSheet('fact a = 3 kg\nfact b = 4 m\nfigure c = a + b').check()
  expect(answer.problems.map(problem => problem.severity)).toEqual(['error'])
  expect([answer.known, answer['left over'], answer.remarks]).toEqual([['a', 'b'], [], []])
})

test('a quantity that only an unread figure reads is read, and variants read what they say', () => {
  const left = (text: string): readonly string[] => openSheet(text).check()['left over']
  expect(left('fact a = 1\nfigure b = a\nlever x from 0 to 1\nmust x at least 0.5')).toEqual(['b'])
  expect(left('fact a = 1\nlever x from 0 to a\nmust x at least 0.5')).toEqual([])
  expect(left('fact a = 1\nlever x from 0 to 1\nmust x equal to 0.5 ± a')).toEqual([])
  expect(left('fact a = 1\nlever x from 0 to 1\nmust x at least 0.5\naim least x * a')).toEqual([])
})

test('a flight that is wrong before one that is sound is told, and nothing breaks', () => {
  const sheet = openSheet(
    'flight hop from Earth\nflight leap from Earth\n  dry mass = 165 kg\n  vacuum thrust = 17.5 kN\n  specific impulse = 242 s\n',
  )
  expect(sheet.problems.map(({ message }) => message)).toEqual([
    'The flight "hop" is given no dry mass.',
    'The flight "hop" is given no vacuum thrust.',
    'The flight "hop" is given no specific impulse.',
  ])
  expect(sheet.solve().outcome).toBe('faulty')
  expect(sheet.check().problems).toHaveLength(3)
})
