import fc from 'fast-check'
import type { Form, LinearRow, LinearSystem } from '../../solver/linear/index.ts'

/** A program and what is to be made small, level by level. */
export interface LinearCase {
  readonly system: LinearSystem
  readonly goals: readonly Form[]
}

/**
 * Programs of up to 8 variables in units from 1e-3 to 1e6, whose rows hold at a point inside the bounds, but for some that are pushed
 * beyond it. A variable's coefficients shrink as its unit grows, as they do in sheets.
 */
export const cases: fc.Arbitrary<LinearCase> = fc
  .record({
    units: fc.array(fc.integer({ min: -3, max: 6 }), { minLength: 1, maxLength: 8 }),
    rows: fc.array(fc.tuple(fc.constantFrom('=', '<', '>', '<>'), fc.integer({ min: -20, max: 200 })), {
      maxLength: 10,
    }),
    numbers: fc.infiniteStream(fc.integer({ min: -100, max: 100 })),
  })
  .map(({ units, rows, numbers }) => {
    const next = () => (numbers.next().value ?? 0) / 100
    const sizes = units.map(unit => 10 ** unit)
    const variables = sizes.map(size => {
      const low = next() * 3 * size
      return { low, high: low + (0.1 + Math.abs(next())) * size, nominal: size }
    })
    const point = variables.map(({ low, high }) => low + Math.abs(next()) * (high - low))
    const form = (): Form => {
      const at = sizes.map((_, j) => j).filter(j => sizes.length === 1 || next() > -0.2 || j === 0)
      return { at, by: at.map(j => (Math.round(next() * 10) / 10 || 0.3) / sizes[j]!) }
    }
    const system = {
      variables,
      rows: rows.map(([kind, off]): LinearRow => {
        const it = form()
        const at = it.at.reduce((sum, j, k) => sum + it.by[k]! * point[j]!, 0)
        const slack = kind === '=' ? (off < -10 ? 0.2 : 0) : off / 100
        return {
          ...it,
          low: kind === '<' ? Number.NEGATIVE_INFINITY : at - (kind === '=' ? -slack : slack),
          high: kind === '>' ? Number.POSITIVE_INFINITY : at + (kind === '<>' ? Math.abs(slack) + 0.1 : slack),
        }
      }),
    }
    return { system, goals: [form(), form(), form()] }
  })
