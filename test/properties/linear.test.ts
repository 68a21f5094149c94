import fc from 'fast-check'
import { expect, test } from 'vitest'
import {
  contradiction,
  type Form,
  type LinearRow,
  type LinearSystem,
  openLinear,
  solveLinear,
} from '../../solver/linear/index.ts'
import { askHighs } from '../support/highs.ts'
import { cases } from '../support/linear-programs.ts'

const value = ({ at, by }: Form, x: Float64Array) => at.reduce((sum, j, k) => sum + by[k]! * x[j]!, 0)

// Source: HiGHS. Cases that hang on less than a millionth either way are nobody's to judge, and left out.
test('status and value are those of another solver', async () => {
  const ask = await askHighs()
  const counts: Record<string, number> = {}
  fc.assert(
    fc.property(cases, ({ system, goals }) => {
      const own = solveLinear(system, goals.slice(0, 1))
      const other = ask(system, goals[0]!)
      counts[own.status] = (counts[own.status] ?? 0) + 1
      if (own.status === 'unsure') return
      const loosened = { ...system, rows: system.rows.map(row => loosen(row, 1e-6)) }
      const tightened = { ...system, rows: system.rows.map(row => loosen(row, -1e-6)) }
      const firm =
        ask(loosened, goals[0]!).status === other.status &&
        (system.rows.some(row => row.low === row.high) || ask(tightened, goals[0]!).status === other.status)
      if (!firm) return
      expect(own.status).toBe(other.status === 'Optimal' ? 'optimal' : 'infeasible')
      if (own.x) expect(Math.abs(value(goals[0]!, own.x) - other.value)).toBeLessThanOrEqual(1e-5)
    }),
    { numRuns: 250 },
  )
  expect(Math.min(counts.optimal ?? 0, counts.infeasible ?? 0)).toBeGreaterThan(10)
  expect(counts.unsure ?? 0).toBeLessThan(10)
})

const loosen = (row: LinearRow, by: number): LinearRow =>
  row.low === row.high && by < 0 ? row : { ...row, low: row.low - by, high: row.high + by }

test('each level gives way for none that comes after it', async () => {
  const ask = await askHighs()
  fc.assert(
    fc.property(cases, ({ system, goals }) => {
      const own = solveLinear(system, goals)
      if (!own.x) return
      const rows = [...system.rows]
      for (const goal of goals) {
        const other = ask({ ...system, rows }, goal)
        if (other.status !== 'Optimal') return
        expect(Math.abs(value(goal, own.x) - other.value)).toBeLessThanOrEqual(1e-4)
        rows.push({ ...goal, low: Number.NEGATIVE_INFINITY, high: other.value + 1e-8 })
      }
    }),
    { numRuns: 200 },
  )
})

test('what comes back holds every row, and its multipliers bound the last level', () => {
  let bounded = 0
  fc.assert(
    fc.property(cases, ({ system, goals }) => {
      const { status, x, multipliers } = solveLinear(system, goals.slice(0, 1))
      if (!x) {
        if (status === 'infeasible') expect(lagrangian(system, null, multipliers)).toBeGreaterThan(0)
        return
      }
      for (const row of system.rows) {
        const size = Math.max(...row.by.map(Math.abs)) * 1e6 * 1e-7
        expect(
          value(row, x) >= row.low - Math.max(1e-6, size * 1e-6) &&
            value(row, x) <= row.high + Math.max(1e-6, size * 1e-6),
        ).toBe(true)
      }
      system.variables.forEach(({ low, high }, j) => {
        expect(x[j]! >= low && x[j]! <= high).toBe(true)
      })
      bounded++
      expect(Math.abs(lagrangian(system, goals[0]!, multipliers) - value(goals[0]!, x))).toBeLessThanOrEqual(1e-5)
    }),
    { numRuns: 250 },
  )
  expect(bounded).toBeGreaterThan(50)
})

/** The least that goal − Σ multiplier·(row − its bound) can be inside the bounds: by duality the least value of the goal itself. */
function lagrangian({ variables, rows }: LinearSystem, goal: Form | null, multipliers: Float64Array): number {
  const left = new Float64Array(variables.length)
  goal?.at.forEach((j, k) => {
    left[j]! += goal.by[k]!
  })
  let sum = 0
  rows.forEach((row, r) => {
    const y = multipliers[r]!
    if (y === 0) return
    sum += y * (y > 0 ? row.low : row.high)
    row.at.forEach((j, k) => {
      left[j]! -= y * row.by[k]!
    })
  })
  return variables.reduce((total, { low, high }, j) => total + Math.min(left[j]! * low, left[j]! * high), sum)
}

test('a contradiction’s rows cannot be held by themselves, and any less of them can', () => {
  let found = 0
  fc.assert(
    fc.property(cases, ({ system }) => {
      const core = contradiction(
        system,
        system.rows.map((_, r) => [r]),
      )
      if (!core) return
      found++
      const only = (places: readonly number[]) =>
        solveLinear({ ...system, rows: places.map(r => system.rows[r]!) }).status
      expect(only(core)).toBe('infeasible')
      for (const one of core) expect(only(core.filter(r => r !== one))).not.toBe('infeasible')
    }),
    { numRuns: 300 },
  )
  expect(found).toBeGreaterThan(20)
})

test('a dragged system holds its rows at every moment, and follows as far as it can', async () => {
  const ask = await askHighs()
  let dragged = 0
  fc.assert(
    fc.property(
      cases,
      fc.array(fc.tuple(fc.nat(), fc.integer({ min: -20, max: 120 })), { minLength: 1, maxLength: 12 }),
      ({ system }, moves) => {
        const session = openLinear(
          system,
          Float64Array.from(system.variables, ({ low }) => low),
        )
        if (!session) return
        for (const [pick, share] of moves) {
          const j = pick % system.variables.length
          const { low, high, nominal } = system.variables[j]!
          const wanted = low + (share / 100) * (high - low)
          const x = session.suggest(j, wanted)
          dragged++
          for (const row of system.rows) {
            expect(value(row, x)).toBeGreaterThanOrEqual(row.low - 1e-5)
            expect(value(row, x)).toBeLessThanOrEqual(row.high + 1e-5)
          }
          // No further from where it was wanted than it must be: HiGHS tells how far it can go either way.
          const least = ask(system, { at: [j], by: [1 / nominal] }).value * nominal
          const most = -ask(system, { at: [j], by: [-1 / nominal] }).value * nominal
          expect(Math.abs(x[j]! - Math.min(most, Math.max(least, wanted)))).toBeLessThanOrEqual(2e-5 * nominal)
        }
      },
    ),
    { numRuns: 60 },
  )
  expect(dragged).toBeGreaterThan(50)
})
