import highsLoader from 'highs'
import * as kiwi from 'kiwi.js'
import { beforeAll, describe, expect, test } from 'vitest'
import { LinearProgram } from '../../solver/search/linear-program.ts'
import { sequence } from '../support/vehicles.ts'

type Highs = Awaited<ReturnType<typeof highsLoader>>
let highs: Highs
beforeAll(async () => {
  highs = await highsLoader()
})

interface Task {
  readonly a: number[][]
  readonly b: number[]
  readonly lower: number[]
  readonly upper: number[]
  readonly costs: number[][]
}

/** A random program: about one in three infeasible, with repeated rows, zero costs and fixed variables among them. */
function randomTask(seed: number): Task {
  const next = sequence(seed)
  const columns = 1 + Math.floor(6 * next())
  const rows = Math.floor(12 * next())
  const number = (): number => Math.round(20 * (next() - 0.5)) / 4
  const a = Array.from({ length: rows }, () => Array.from({ length: columns }, () => (next() < 0.3 ? 0 : number())))
  const b = a.map(() => Math.round(16 * (next() - 0.3)) / 4)
  if (rows > 3 && next() < 0.3) {
    a[1] = a[0]!.map(it => 2 * it)
    b[1] = 2 * b[0]!
    a[2] = a[0]!.map(it => -it)
    b[2] = -b[0]! + (next() < 0.5 ? 0 : 0.25)
  }
  const lower = Array.from({ length: columns }, () => Math.round(-8 * next()) / 4)
  const upper = lower.map(low => low + (next() < 0.1 ? 0 : Math.round(16 * next()) / 4))
  const costs = Array.from({ length: 3 }, () => Array.from({ length: columns }, () => (next() < 0.4 ? 0 : number())))
  return { a, b, lower, upper, costs }
}

function load({ a, b, lower, upper }: Task): LinearProgram {
  const program = new LinearProgram()
  program.reset(lower.length, a.length)
  a.forEach((row, i) => {
    row.forEach((it, j) => {
      program.a[program.at(i) + j] = it
    })
    program.b[i] = b[i]!
  })
  program.lower.set(lower)
  program.upper.set(upper)
  return program
}

const dot = (a: readonly number[], x: ArrayLike<number>): number => a.reduce((sum, it, j) => sum + it * x[j]!, 0)

/** HiGHS's value of an objective, earlier ones held at their values; null where infeasible. */
function byHighs(
  task: Task,
  cost: readonly number[],
  held: readonly { cost: readonly number[]; value: number }[],
): number | null {
  const terms = (list: readonly number[]): string =>
    list.map((it, j) => `${it < 0 ? '-' : '+'} ${Math.abs(it)} x${j}`).join(' ')
  const rows = [
    ...task.a.map((row, i) => ` r${i}: ${terms(row)} <= ${task.b[i]}`),
    ...held.map((it, i) => ` h${i}: ${terms(it.cost)} <= ${it.value + 1e-9}`),
  ]
  const bounds = task.lower.map((low, j) => ` ${low} <= x${j} <= ${task.upper[j]}`)
  const text = `Minimize\n obj: ${terms(cost)}\nSubject To\n${rows.join('\n') || ` none: 0 x0 <= 1`}\nBounds\n${bounds.join('\n')}\nEnd\n`
  const solution = highs.solve(text)
  if (solution.Status === 'Infeasible') return null
  expect(solution.Status).toBe('Optimal')
  return solution.ObjectiveValue
}

function breach({ a, b, lower, upper }: Task, x: ArrayLike<number>): number {
  const rows = a.map((row, i) => dot(row, x) - b[i]!)
  const bounds = lower.flatMap((low, j) => [low - x[j]!, x[j]! - upper[j]!])
  return Math.max(0, ...rows, ...bounds)
}

describe('the linear program', () => {
  test('agrees with HiGHS on status and value, one objective after the other', () => {
    let infeasible = 0
    for (let seed = 1; seed <= 400; seed++) {
      const task = randomTask(seed)
      const program = load(task)
      const held: { cost: readonly number[]; value: number }[] = []
      for (const cost of task.costs) {
        const status = program.minimise(Float64Array.from(cost))
        const truth = byHighs(task, cost, held)
        expect(status, `seed ${seed}`).toBe(truth === null ? 'infeasible' : 'optimal')
        if (truth === null) {
          infeasible++
          break
        }
        expect(breach(task, program.value), `seed ${seed}`).toBeLessThan(1e-8)
        const value = dot(cost, program.value)
        expect(Math.abs(value - truth), `seed ${seed}`).toBeLessThan(1e-6)
        held.push({ cost, value })
      }
    }
    expect(infeasible).toBeGreaterThan(80)
  })

  test('agrees with kiwi on status and value', () => {
    let solved = 0
    for (let seed = 1001; seed <= 1200; seed++) {
      const task = randomTask(seed)
      const program = load(task)
      const status = program.minimise(Float64Array.from(task.costs[0]!))
      const truth = byKiwi(task, task.costs[0]!)
      expect(status, `seed ${seed}`).toBe(truth === null ? 'infeasible' : 'optimal')
      if (truth === null) continue
      solved++
      expect(Math.abs(dot(task.costs[0]!, program.value) - truth), `seed ${seed}`).toBeLessThan(1e-5)
    }
    expect(solved).toBeGreaterThan(80)
  })

  test('spreads what some rows have in common as wide as it goes', () => {
    // Largest t with t ≤ x, t ≤ 1 − x, t ≤ y / 2 on the unit square: 1/2 at (1/2, 1); then the rest, y/2 itself.
    const program = new LinearProgram()
    program.reset(3, 4, 1)
    const rows: [number[], number][] = [
      [[-1, 0, 1], 0],
      [[1, 0, 1], 1],
      [[0, -0.5, 1], 0],
      [[0, 1, 1], 3],
    ]
    rows.forEach(([row, b], i) => {
      program.a.set(row, program.at(i))
      program.b[i] = b
    })
    program.upper.set([1, 1, 10])
    expect(program.minimise(Float64Array.of(0, 0, -1))).toBe('optimal')
    expect(program.value[2]).toBeCloseTo(0.5, 12)
    expect(program.value[0]).toBeCloseTo(0.5, 12)
    const left = [0, 1, 2, 3].filter(row => !program.tight(row))
    expect(left).not.toContain(0)
    const common = program.spread(left, 100)
    const cost = new Float64Array(4)
    cost[common] = -1
    expect(program.minimise(cost)).toBe('optimal')
    expect(program.settled).toBe(true)
    expect(program.value[2]).toBeCloseTo(0.5, 12)
  })
})

/** Kiwi's least value: a weak wish far below every value, on required rows and bounds; null where these contradict. */
function byKiwi(task: Task, cost: readonly number[]): number | null {
  const solver = new kiwi.Solver()
  const x = task.lower.map(() => new kiwi.Variable())
  const sum = (list: readonly number[]): kiwi.Expression =>
    new kiwi.Expression(...list.map((it, j) => [it, x[j]!] as [number, kiwi.Variable]))
  try {
    x.forEach((variable, j) => {
      solver.addConstraint(new kiwi.Constraint(variable, kiwi.Operator.Ge, task.lower[j]!, kiwi.Strength.required))
      solver.addConstraint(new kiwi.Constraint(variable, kiwi.Operator.Le, task.upper[j]!, kiwi.Strength.required))
    })
    task.a.forEach((row, i) => {
      solver.addConstraint(new kiwi.Constraint(sum(row), kiwi.Operator.Le, task.b[i]!, kiwi.Strength.required))
    })
  } catch {
    return null
  }
  solver.addConstraint(new kiwi.Constraint(sum(cost), kiwi.Operator.Eq, -1000, kiwi.Strength.weak))
  solver.updateVariables()
  return dot(
    cost,
    x.map(variable => variable.value()),
  )
}

test('what an objective settles, no further objective moves', () => {
  let settled = 0
  for (let seed = 1; seed <= 400; seed++) {
    const task = randomTask(seed)
    const columns = task.lower.length
    const program = load(task)
    if (program.minimise(Float64Array.from(task.costs[0]!)) !== 'optimal' || !program.settles(columns)) continue
    settled++
    const before = [...program.value.subarray(0, columns)]
    expect(program.minimise(Float64Array.from(task.costs[1]!, cost => cost + 1))).toBe('optimal')
    before.forEach((value, j) => {
      expect(program.value[j]).toBeCloseTo(value, 9)
    })
  }
  expect(settled).toBeGreaterThan(50)
})
