import type { SearchProblem, SearchTarget } from '../../solver/search/problem.ts'

/**
 * The meaning of solving, written a second time from the design and by other means than the search: every setting of the
 * lattice is flown, and the levels are filters over the whole list.
 */
export interface Flown {
  readonly x: Float64Array
  readonly rows: Float64Array
}

/** Every setting of every lever, the last lever fastest. */
export function lattice(problem: SearchProblem): Float64Array[] {
  let points: number[][] = [[]]
  for (const range of problem.levers) points = points.flatMap(point => Array.from(range.settings!, x => [...point, x]))
  return points.map(point => Float64Array.from(point))
}

/** All of it flown tightly. */
export function flyAll(problem: SearchProblem): Flown[] {
  return lattice(problem).map(x => ({ x, rows: problem.fly(x, 'tight', false).rows.slice() }))
}

export function marginOf(problem: SearchProblem, target: SearchTarget, rows: Float64Array): number {
  const figures = target.rows.map(row => {
    const { figure } = problem.rows[row]!
    return figure ? figure(rows[row]!) : rows[row]!
  })
  const x = figures.some(Number.isNaN) ? Number.NaN : Math.max(...figures)
  switch (target.kind) {
    case 'at least':
      return (x - target.low) / target.scale
    case 'at most':
      return (target.high - x) / target.scale
    case 'equal to':
      return -Math.abs(x - target.low) / target.scale
    default:
      return Math.min(x - target.low, target.high - x) / target.scale
  }
}

export function isMet(target: SearchTarget, margin: number): boolean {
  return margin >= (target.kind === 'equal to' ? -1e-6 : -1e-9)
}

export function shortfall(problem: SearchProblem, level: 'should' | 'could', rows: Float64Array): number {
  let sum = 0
  for (const target of problem.targets) {
    if (target.level !== level) continue
    const margin = marginOf(problem, target, rows)
    if (Number.isNaN(margin)) sum += 1e9
    else if (target.kind === 'equal within') sum += Math.min(1e9, (1 - margin) ** 2)
    else sum += Math.min(1e9, Math.max(0, -margin))
  }
  return sum
}

function margins(problem: SearchProblem, rows: Float64Array): number[] {
  const all = problem.targets.filter(target => target.level !== 'could').map(target => marginOf(problem, target, rows))
  return all.map(margin => (Number.isNaN(margin) ? -1e9 : Math.max(-1e9, Math.min(1e9, margin)))).sort((a, b) => a - b)
}

/** Keeps what is within a tie of the best (the least) value. */
function keep(list: readonly Flown[], value: (flown: Flown) => number, relative: boolean): Flown[] {
  if (list.length < 2) return [...list]
  const values = list.map(value)
  const best = values.reduce((least, it) => Math.min(least, it), Number.POSITIVE_INFINITY)
  if (best === Number.POSITIVE_INFINITY) return [...list]
  const tie = 1e-7 * (relative ? Math.abs(best) : 1)
  return list.filter((_, i) => values[i]! <= best + tie)
}

export interface BruteAnswer {
  readonly outcome: 'solved' | 'conflict'
  readonly flown: Flown
  /** Settings that meet every must, and in a conflict the largest violation. */
  readonly feasible: number
  readonly violation: number
}

/** The answer by going through everything flown. */
export function bruteForce(problem: SearchProblem, all: readonly Flown[]): BruteAnswer {
  const violationOf = ({ rows }: Flown): number => {
    let worst = 0
    for (const target of problem.targets) {
      if (target.level !== 'must') continue
      const margin = marginOf(problem, target, rows)
      if (!isMet(target, margin)) worst = Math.max(worst, Number.isNaN(margin) ? 1e9 : Math.min(1e9, -margin))
    }
    return worst
  }
  const feasible = all.filter(flown => violationOf(flown) === 0)
  let left = feasible.length > 0 ? feasible : keep(all, violationOf, false)
  const violation = feasible.length > 0 ? 0 : Math.min(...left.map(violationOf))
  left = keep(left, flown => shortfall(problem, 'should', flown.rows), false)
  left = keep(left, flown => shortfall(problem, 'could', flown.rows), false)
  for (const aim of problem.aims) {
    if (aim.sense === 'roomiest') {
      const count = problem.targets.filter(target => target.level !== 'could').length
      for (let i = 0; i < count; i++) left = keep(left, flown => -margins(problem, flown.rows)[i]!, false)
      continue
    }
    const { figure } = problem.rows[aim.row]!
    const sign = aim.sense === 'least' ? 1 : -1
    const value = ({ rows }: Flown): number => {
      const by = sign * (figure ? figure(rows[aim.row]!) : rows[aim.row]!)
      return Number.isNaN(by) ? Number.POSITIVE_INFINITY : by
    }
    left = keep(left, value, true)
  }
  problem.levers.forEach((range, l) => {
    left = keep(left, ({ x }) => Math.abs((x[l]! - range.from) / (range.to - range.from) - 0.5), false)
    left = keep(left, ({ x }) => (x[l]! - range.from) / (range.to - range.from), false)
  })
  return { outcome: feasible.length > 0 ? 'solved' : 'conflict', flown: left[0]!, feasible: feasible.length, violation }
}

/** The least that one target may be short of its limit where the first aim is better and all others are met, by going through every setting; null for none, or where it need not be short. */
export function leastShort(
  problem: SearchProblem,
  all: readonly Flown[],
  now: Float64Array,
  target: number,
): number | null {
  const aim = problem.aims[0]!
  if (aim.sense === 'roomiest') return null
  const sign = aim.sense === 'least' ? 1 : -1
  // `equal to X ± T` below a must counts by how far off it is, before the aim.
  const counts = (it: SearchTarget): boolean => it.kind === 'equal within' && it.level !== 'must'
  if (counts(problem.targets[target]!)) return null
  const off = (it: SearchTarget, rows: Float64Array): number => (counts(it) ? 1 - marginOf(problem, it, rows) : 0)
  const short = all
    .filter(({ rows }) =>
      problem.targets.every((it, t) => t === target || off(it, rows) <= off(it, now) * (1 + 1e-9) + 1e-9),
    )
    .filter(({ rows }) => sign * rows[aim.row]! <= sign * now[aim.row]! - 2e-7 * Math.abs(now[aim.row]!))
    .filter(({ rows }) => problem.targets.every((it, t) => t === target || isMet(it, marginOf(problem, it, rows))))
    .map(({ rows }) => -marginOf(problem, problem.targets[target]!, rows))
  const least = Math.min(...short)
  return short.length > 0 && least > 0 ? least : null
}
