import { expect, test } from 'vitest'
import { openSheet } from '../../sheets/index.ts'
import { residualWords } from '../../sheets/report/residual-words.ts'

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

test('levers are found again from what an invented flight with known ones measured', () => {
  const values = measuredBy(openSheet(vehicle).at({ 'drag coefficient': 0.47, 'specific impulse': 231 }))
  const answer = reconcile(values).solve()
  expect(answer.quantities['drag coefficient']!.si as number).toBeCloseTo(0.47, 7)
  expect(answer.quantities['specific impulse']!.si as number).toBeCloseTo(231, 5)
  for (const target of answer.targets) expect(target.margin as number).toBeCloseTo(1, 5)
})

/** What a flight of drag coefficient 0.47 and specific impulse 231 s measures, each value off by a share of its error. */
function offTruth(shares: readonly number[]): readonly number[] {
  const values = measuredBy(openSheet(vehicle).at({ 'drag coefficient': 0.47, 'specific impulse': 231 }))
  return values.map((value, k) => value + shares[k]! * MEASURED[k]![2])
}

/** Where the sum of squared residuals is least: Gauss and Newton's steps on central differences, the normal equations solved by hand. */
function leastSquares(residuals: (x: readonly number[]) => number[], begin: readonly number[]): number[] {
  let x = [...begin]
  for (let round = 0; round < 20; round++) {
    const r = residuals(x)
    const [j, k] = x.map((value, l) => {
      const by = 1e-5 * Math.abs(value)
      const moved = (sign: number): number[] => residuals(x.map((it, m) => (m === l ? it + sign * by : it)))
      const [up, down] = [moved(1), moved(-1)]
      return r.map((_, i) => (up[i]! - down[i]!) / (2 * by))
    })
    const dot = (a: readonly number[], b: readonly number[]): number => a.reduce((sum, it, i) => sum + it * b[i]!, 0)
    const [jj, jk, kk, jr, kr] = [dot(j!, j!), dot(j!, k!), dot(k!, k!), dot(j!, r), dot(k!, r)]
    const determinant = jj * kk - jk * jk
    x = [x[0]! - (kk * jr - jk * kr) / determinant, x[1]! - (jj * kr - jk * jr) / determinant]
  }
  return x
}

test.each([
  ['each a little off', offTruth([0.7, -1.2, 0.4, 1.5])],
  ['that contradict each other', [20000, 780, 90000, 72]],
] as const)('measurements %s are answered by the least squares that Gauss and Newton find', (_, values) => {
  const sheet = reconcile(values)
  const residuals = ([drag, impulse]: readonly number[]): number[] => {
    const figures = measuredBy(sheet.at({ 'drag coefficient': drag!, 'specific impulse': impulse! }))
    return MEASURED.map(([, , error], k) => (figures[k]! - values[k]!) / error)
  }
  const squares = (x: readonly number[]): number => residuals(x).reduce((sum, r) => sum + r * r, 0)
  const answer = sheet.solve()
  const found = ['drag coefficient', 'specific impulse'].map(name => answer.quantities[name]!.si as number)
  const expected = leastSquares(residuals, [0.5, 230])
  found.forEach((value, l) => {
    expect(Math.abs(value / expected[l]! - 1)).toBeLessThan(2e-5)
  })
  expect(squares(found) / squares(expected)).toBeLessThan(1 + 1e-7)
})

// The normal equations of a weighted straight line (Gauss), solved here.
test('a straight line through measured points is the one of the normal equations', () => {
  const points = [
    [1, 1.1, 0.1],
    [2, 1.9, 0.2],
    [3, 3.3, 0.1],
    [4, 3.8, 0.4],
  ] as const
  const lines = points.map(([x, y, error]) => `should a + ${x} * b equal to ${y} ± ${error}`)
  const { quantities } = openSheet(`lever a from -10 to 10\nlever b from -10 to 10\n${lines.join('\n')}\n`).solve()
  const sum = (of: (x: number, y: number) => number): number =>
    points.reduce((total, [x, y, error]) => total + of(x, y) / error ** 2, 0)
  const [w, wx, wxx, wy, wxy] = [sum(() => 1), sum(x => x), sum(x => x * x), sum((_, y) => y), sum((x, y) => x * y)]
  const slope = (w * wxy - wx * wy) / (w * wxx - wx * wx)
  expect(quantities.b!.si as number).toBeCloseTo(slope, 4)
  expect(quantities.a!.si as number).toBeCloseTo((wy - slope * wx) / w, 4)
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

test('the page lists the residuals in units of their errors', () => {
  const answer = reconcile([20000, 780, 90000, 72]).solve()
  const words = residualWords(answer)!
  MEASURED.forEach(([name, , error], k) => {
    const residual = ((answer.targets[k]!.si as number) - [20000, 780, 90000, 72][k]!) / error
    const told = new RegExp(`${name} ([+−][0-9.]+)[,.]`).exec(words)![1]!.replace('−', '-')
    expect(Math.abs(Number(told) - residual)).toBeLessThan(0.06)
  })
  expect(residualWords(openSheet(`${vehicle}must apoapsis at least 3 km\n`).solve())).toBeNull()
})
