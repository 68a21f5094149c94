import load from 'highs'
import type { Form, LinearSystem } from '../../solver/linear/index.ts'

export interface Told {
  readonly status: string
  readonly value: number
}

/** Asks HiGHS (highs 1.15.3, the University of Edinburgh's solver) for the least value of a form with all rows held. */
export async function askHighs(): Promise<(system: LinearSystem, goal: Form) => Told> {
  const highs = await load()
  return (system, goal) => {
    const { Status, ObjectiveValue } = highs.solve(text(system, goal), {
      primal_feasibility_tolerance: 1e-9,
      presolve: 'off',
    })
    return { status: Status, value: ObjectiveValue }
  }
}

/** A program in CPLEX's LP format, every number with 17 digits, for fewer are cut. A row without terms gets a zero one. */
function text({ variables, rows }: LinearSystem, goal: Form): string {
  const number = (x: number) =>
    x === Number.POSITIVE_INFINITY ? '+inf' : x === Number.NEGATIVE_INFINITY ? '-inf' : x.toPrecision(17)
  const sum = ({ at, by }: Form) =>
    ['0 x0', ...at.map((j, k) => `${by[k]! < 0 ? '-' : '+'} ${number(Math.abs(by[k]!))} x${j}`)].join(' ')
  const sides = rows.flatMap((row, r) => {
    if (row.low === row.high) return [` e${r}: ${sum(row)} = ${number(row.low)}`]
    return [
      ...(Number.isFinite(row.low) ? [` l${r}: ${sum(row)} >= ${number(row.low)}`] : []),
      ...(Number.isFinite(row.high) ? [` h${r}: ${sum(row)} <= ${number(row.high)}`] : []),
    ]
  })
  const bounds = variables.map(({ low, high }, j) => ` ${number(low)} <= x${j} <= ${number(high)}`)
  return ['Minimize', ` goal: ${sum(goal)}`, 'Subject To', ...sides, 'Bounds', ...bounds, 'End', ''].join('\n')
}
