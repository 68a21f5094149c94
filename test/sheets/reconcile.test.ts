import { expect, test } from 'vitest'
import { openSheet } from '../../sheets/index.ts'

const vehicle = `fact dry mass = 165 kg
fact propellant mass = 200 kg
fact vacuum thrust = 17.5 kN
fact sea level thrust = 15.4 kN
fact reference area = 0.125 m^2
lever drag coefficient from 0.2 to 0.9
lever specific impulse from 200 s to 280 s
flight hop from Earth
`

const MEASURED = [
  ['apoapsis', 'm', 200],
  ['burnout speed', 'm/s', 5],
  ['max q', 'Pa', 3000],
  ['apoapsis time', 's', 1],
] as const

/** The vehicle with measured values, each with its instrument's error. */
function reconcile(values: readonly number[]) {
  const lines = MEASURED.map(
    ([name, unit, error], k) => `should ${name} equal to ${values[k]} ${unit} ± ${error} ${unit}`,
  )
  return openSheet(`${vehicle}${lines.join('\n')}\n`)
}

const measuredBy = (figures: Readonly<Record<string, number | null | undefined>>): number[] =>
  MEASURED.map(([name]) => figures[name] as number)

test('levers are found again, within what the errors leave open, from what an invented flight with known ones measured', () => {
  const values = measuredBy(openSheet(vehicle).at({ 'drag coefficient': 0.47, 'specific impulse': 231 }))
  const answer = reconcile(values).solve()
  expect((answer.quantities['drag coefficient']!.si as number) / 0.47).toBeCloseTo(1, 1)
  expect((answer.quantities['specific impulse']!.si as number) / 231).toBeCloseTo(1, 2)
  // Every measurement is met within a quarter of its error.
  for (const target of answer.targets) expect(target.margin as number).toBeGreaterThan(0.75)
})

// Gauss's least squares, by hand: no step to any side makes the sum of squared residuals, each in units of its error, smaller.
test('where the measurements contradict each other the answer is the least-squares one, its residuals told', () => {
  const sheet = reconcile([20000, 780, 90000, 72])
  const answer = sheet.solve()
  const squares = (values: readonly number[]): number =>
    MEASURED.reduce((sum, [, , error], k) => sum + ((values[k]! - [20000, 780, 90000, 72][k]!) / error) ** 2, 0)
  const [drag, impulse] = ['drag coefficient', 'specific impulse'].map(name => answer.quantities[name]!.si as number)
  const at = (d: number, i: number): number =>
    squares(measuredBy(sheet.at({ 'drag coefficient': d, 'specific impulse': i })))
  const least = at(drag!, impulse!)
  for (const [d, i] of [
    [0.01, 0],
    [-0.01, 0],
    [0, 1],
    [0, -1],
    [0.01, 1],
    [-0.01, -1],
    [0.01, -1],
    [-0.01, 1],
  ] as const)
    expect(at(drag! + d, impulse! + i)).toBeGreaterThan(least)
  const told = answer.targets.map(target => target.si as number)
  expect(squares(told)).toBeCloseTo(least, 5)
  for (const { limit } of answer.targets) expect((limit[1] as number) - (limit[0] as number)).toBeGreaterThan(0)
})
