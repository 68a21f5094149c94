import { readFileSync } from 'node:fs'
import * as kiwi from 'kiwi.js'
import { describe, expect, test } from 'vitest'
import { independentRows } from '../../solver/linear/independent.ts'
import {
  contradiction,
  type LinearRow,
  type LinearVariable,
  openLinear,
  solveLinear,
} from '../../solver/linear/index.ts'

const INF = Number.POSITIVE_INFINITY
const variable = (low: number, high: number, nominal = 1): LinearVariable => ({ low, high, nominal })
const row = (at: number[], by: number[], low: number, high: number): LinearRow => ({ at, by, low, high })
const least = (j: number) => ({ at: [j], by: [1] })
const most = (j: number) => ({ at: [j], by: [-1] })
const about = (x: number): number => expect.closeTo(x, 4)

describe('what kiwi.js 1.1.3 is known for', () => {
  const { Constraint, Expression, Operator, Solver, Strength, Variable } = kiwi

  test('its version is the one whose private parts the door knows', () => {
    expect(JSON.parse(readFileSync('node_modules/kiwi.js/package.json', 'utf8')).version).toBe('1.1.3')
    const solver = new Solver()
    for (const part of ['_rowMap', '_cnMap', '_objective', '_infeasibleRows', '_substitute', '_dualOptimize']) {
      expect(solver).toHaveProperty(part)
    }
    for (const part of ['_getDualEnteringSymbol', '_getLeavingSymbol']) expect(solver).toHaveProperty(part)
  })

  test('it drops small coefficients without a word; the door says that it is not sure', () => {
    const solver = new Solver()
    const [x, y] = [new Variable(), new Variable()]
    solver.addConstraint(new Constraint(x, Operator.Eq, 1e9))
    solver.addConstraint(new Constraint(new Expression([1e-9, x], [-1, y]), Operator.Eq))
    solver.updateVariables()
    expect(y.value()).toBe(0)
    const wide = [variable(0, 2e9, 1e9), variable(0, 1e20)]
    expect(
      solveLinear({ variables: wide, rows: [row([0, 1], [1e-9, -1], 0, 0), row([0], [1], 1e9, 1e9)] }).status,
    ).toBe('unsure')
    const sane = [variable(0, 2e9, 1e9), variable(0, 10)]
    const { x: point } = solveLinear({
      variables: sane,
      rows: [row([0, 1], [1e-9, -1], 0, 0), row([0], [1], 1e9, 1e9)],
    })
    expect(point![1]).toBeCloseTo(1, 6)
  })

  test('it takes a number that is none; the door does not', () => {
    const solver = new Solver()
    expect(() => solver.addConstraint(new Constraint(new Variable(), Operator.Eq, Number.NaN))).not.toThrow()
    const variables = [variable(0, 1)]
    expect(() => solveLinear({ variables, rows: [row([0], [Number.NaN], 0, 1)] })).toThrow('NaN')
    expect(() => solveLinear({ variables, rows: [row([0], [1], Number.NaN, 1)] })).toThrow('NaN')
    expect(() => solveLinear({ variables: [variable(0, 1, 0)], rows: [] })).toThrow('size 0')
    expect(() => solveLinear({ variables, rows: [row([1], [1], 0, 1)] })).toThrow('unknown variables')
  })

  test('a conflict leaves it corrupt; the door answers the next question all the same', () => {
    const solver = new Solver()
    const x = new Variable()
    solver.addConstraint(new Constraint(x, Operator.Ge, 1))
    expect(() => solver.addConstraint(new Constraint(x, Operator.Le, 0))).toThrow('unsatisfiable')
    const system = { variables: [variable(0, 10)], rows: [row([0], [1], 6, INF)] }
    expect(solveLinear({ ...system, rows: [...system.rows, row([0], [1], -INF, 5)] }).status).toBe('infeasible')
    expect(solveLinear(system, [least(0)]).x).toEqual(Float64Array.of(6))
  })

  test('its weights are no levels; the door’s levels are', () => {
    const solver = new Solver()
    const x = new Variable()
    solver.addConstraint(new Constraint(x, Operator.Eq, 1, Strength.medium))
    for (let n = 0; n < 1001; n++) solver.addConstraint(new Constraint(x, Operator.Eq, 0, Strength.weak))
    solver.updateVariables()
    expect(x.value()).toBe(0)
    const { x: point } = solveLinear(
      { variables: [variable(0, 1), variable(0, 1)], rows: [row([0, 1], [1, 1], -INF, 1)] },
      [
        { at: [0], by: [-1e-3] },
        { at: [1], by: [-1e3] },
      ],
    )
    expect([...point!]).toEqual([expect.closeTo(1, 6), expect.closeTo(0, 6)])
  })
})

describe('statuses', () => {
  test('an optimum, with multipliers that say what each row costs', () => {
    const system = {
      variables: [variable(0, 10), variable(0, 10)],
      rows: [row([0, 1], [1, 1], 4, INF), row([0], [1], -INF, 3)],
    }
    const { status, x, multipliers } = solveLinear(system, [{ at: [0, 1], by: [1, 2] }])
    expect(status).toBe('optimal')
    expect([...x!]).toEqual([expect.closeTo(3, 7), expect.closeTo(1, 7)])
    expect([...multipliers]).toEqual([expect.closeTo(2, 7), expect.closeTo(-1, 7)])
  })
  test('nothing below', () => {
    const system = { variables: [variable(-INF, INF), variable(0, INF)], rows: [row([0, 1], [1, -1], 0, 0)] }
    expect(solveLinear(system, [most(1)]).status).toBe('unbounded')
    expect(solveLinear(system, [least(1)])).toMatchObject({ status: 'optimal', x: Float64Array.of(0, 0) })
  })
  test('bounds upside down, and a row that the bounds alone rule out, which is blamed', () => {
    expect(solveLinear({ variables: [variable(1, 0)], rows: [] }).status).toBe('infeasible')
    expect(solveLinear({ variables: [variable(0, 1), variable(1, 0)], rows: [] }).status).toBe('infeasible')
    const { status, multipliers } = solveLinear({ variables: [variable(0, 1)], rows: [row([0], [2], 5, INF)] })
    expect(status).toBe('infeasible')
    expect(multipliers[0]).toBeGreaterThan(0)
  })
  test('equations that say the same are one, that contradict one another are none', () => {
    const variables = [variable(0, 10), variable(0, 10)]
    const same = [row([0, 1], [1, 1], 4, 4), row([0, 1], [3, 3], 12, 12), row([0, 1], [0.1, 0.1], 0.4, 0.4)]
    expect([...solveLinear({ variables, rows: same }, [most(0)]).x!]).toEqual([
      expect.closeTo(4, 7),
      expect.closeTo(0, 7),
    ])
    const other = solveLinear({ variables, rows: [...same, row([0, 1], [2, 2], 8.1, 8.1)] })
    expect(other.status).toBe('infeasible')
    expect(other.multipliers[3]).not.toBe(0)
  })
  test('rows that miss one another by less than a millionth of a range are not judged', () => {
    const apart = (by: number) => ({
      variables: [variable(0, 1)],
      rows: [row([0], [1], 0.5 + by, INF), row([0], [1], -INF, 0.5)],
    })
    expect(solveLinear(apart(5e-7)).status).toBe('unsure')
    expect(solveLinear(apart(5e-6)).status).toBe('infeasible')
  })
  test('an equation that follows from others is left out, whatever stands between them', () => {
    const told = (at: number[], by: number[], low: number, high: number, place: number) =>
      ({ at, by, low, high, place, size: 1 }) as const
    const first = told([0, 1], [1, 0.5], 2, 2, 0)
    const between = told([0], [1], 0, 1, 1)
    const second = told([1, 2], [1, -1], 3, 3, 2)
    // The first and twice the second: x + 2.5 y − 2 z = 8.
    const sum = (value: number) => told([0, 1, 2], [1, 2.5, -2], value, value, 3)
    const other = told([0, 1, 2], [1, 2.5, 1], 8, 8, 4)
    expect(independentRows([first, between, second, sum(8), other])).toEqual({
      rows: [first, between, second, other],
      clash: -1,
    })
    expect(independentRows([first, between, second, sum(8.1), other]).clash).toBe(3)
  })
  test('a variable without width is a number', () => {
    const system = { variables: [variable(7, 7), variable(0, 10)], rows: [row([0, 1], [1, 1], 9, 9)] }
    expect([...solveLinear(system).x!]).toEqual([7, expect.closeTo(2, 7)])
  })
  test('a narrow range far from zero keeps its digits', () => {
    const system = {
      variables: [variable(1e6, 1e6 + 1e-2), variable(0, 1)],
      rows: [row([0, 1], [100, 1], 1e8 + 0.5, INF)],
    }
    const { x } = solveLinear(system, [least(0)])
    expect(x![0]! - 1e6).toBeCloseTo(0, 9)
    expect(x![1]).toBeCloseTo(0.5, 6)
  })
})

test('of 200 rows the two that contradict one another are found', () => {
  const variables = Array.from({ length: 60 }, () => variable(0, 100))
  const rows: LinearRow[] = Array.from({ length: 200 }, (_, r) =>
    row([r % 60, (r * 7 + 1) % 60].slice(0, r % 60 === (r * 7 + 1) % 60 ? 1 : 2), [1, 0.5], 0, 140),
  ).map(it => ({ ...it, by: it.by.slice(0, it.at.length) }))
  rows[50] = row([3, 4], [1, 1], 120, INF)
  rows[150] = row([3, 4], [2, 2], -INF, 100)
  expect(
    contradiction(
      { variables, rows },
      rows.map((_, r) => [r]),
    ),
  ).toEqual([50, 150])
  expect(
    contradiction(
      { variables, rows: rows.slice(0, 100) },
      rows.slice(0, 100).map((_, r) => [r]),
    ),
  ).toBeNull()
})

test('rows in no group are taken for granted when a contradiction is sought', () => {
  const system = {
    variables: [variable(0, 10)],
    rows: [row([0], [1], 4, INF), row([0], [1], -INF, 3), row([0], [1], 1, INF)],
  }
  expect(contradiction(system, [[1], [2]])).toEqual([0])
})

describe('dragging', () => {
  // Two stages share 100 kg: the rest follows.
  const system = {
    variables: [variable(0, 80, 50), variable(0, 80, 50), variable(0, 1000, 500)],
    rows: [row([0, 1], [1, 1], 100, 100), row([0, 2], [10, -1], 0, 0)],
  }
  test('what is dragged goes where it is wanted and takes the rest along', () => {
    const session = openLinear(system, Float64Array.of(50, 50, 500))!
    expect([...session.x]).toEqual([expect.closeTo(50, 6), expect.closeTo(50, 6), expect.closeTo(500, 5)])
    expect([...session.suggest(0, 30)]).toEqual([expect.closeTo(30, 5), expect.closeTo(70, 5), expect.closeTo(300, 4)])
    expect([...session.suggest(0, 5)]).toEqual([expect.closeTo(20, 5), expect.closeTo(80, 5), expect.closeTo(200, 4)])
    expect([...session.suggest(2, 600)]).toEqual([expect.closeTo(60, 5), expect.closeTo(40, 5), expect.closeTo(600, 4)])
    expect(() => session.suggest(0, Number.NaN)).toThrow('NaN')
  })
  test('the others move as little as they can, in shares of their ranges, and what hangs on nothing stays', () => {
    // Source: by hand. z makes up for four times what it moves, in a range twice as wide as that of y.
    const session = openLinear(
      {
        variables: [variable(10, 110), variable(20, 120), variable(30, 230), variable(2, 12), variable(5, 5)],
        rows: [row([0, 1, 2], [1, 1, 4], 500, 500)],
      },
      Float64Array.of(50, 50, 100, 7, 5),
    )!
    expect([...session.suggest(0, 90)]).toEqual([about(90), about(50), about(90), about(7), 5])
    expect([...session.suggest(1, 70)]).toEqual([about(90), about(70), about(85), about(7), 5])
    expect([...session.suggest(3, 9)]).toEqual([about(90), about(70), about(85), about(9), 5])
    expect([...session.suggest(4, 9)]).toEqual([about(90), about(70), about(85), about(9), 5])
  })
  test('a small step of one that moves another through most of its range is followed too', () => {
    const session = openLinear(
      { variables: [variable(0, 1e5), variable(0, 1), variable(0, 8)], rows: [row([0, 1], [1, -1], 0, 0)] },
      Float64Array.of(0.2, 0.2, 3),
    )!
    // Held to a billionth of the range that is dragged through.
    expect([...session.suggest(0, 0.7)]).toEqual([expect.closeTo(0.7, 3), expect.closeTo(0.7, 3), about(3)])
    expect([...session.suggest(0, 40)]).toEqual([expect.closeTo(1, 3), expect.closeTo(1, 3), about(3)])
  })
  test('it opens where all of them together are nearest to where it was asked to', () => {
    const system = { variables: [variable(0, 10), variable(0, 10)], rows: [row([0, 1], [1, 3], 3, 3)] }
    expect([...openLinear(system, Float64Array.of(0, 0))!.x]).toEqual([about(0), about(1)])
  })
  test('a system that cannot be held is not opened', () => {
    expect(
      openLinear({ ...system, rows: [...system.rows, row([0], [1], 90, INF)] }, Float64Array.of(0, 0, 0)),
    ).toBeNull()
  })
  test('equations written twice do not stop an edit', () => {
    const twice = {
      ...system,
      rows: [
        ...system.rows,
        ...system.rows.map(it => ({ ...it, by: it.by.map(c => 3 * c), low: 3 * it.low, high: 3 * it.high })),
      ],
    }
    const session = openLinear(twice, Float64Array.of(50, 50, 500))!
    for (let n = 0; n < 200; n++) {
      const x = session.suggest(n % 3, (n * 37) % 83)
      expect(x[0]! + x[1]!).toBeCloseTo(100, 4)
      expect(10 * x[0]! - x[2]!).toBeCloseTo(0, 3)
    }
  })
})
