import { contradiction, type Form, type LinearRow, type LinearVariable, solveLinear } from '../linear/index.ts'
import type { Level, Range } from '../model/model.ts'
import { type LinearPart, type LinearTarget, rowOf } from './linear-part.ts'
import type { Program } from './program.ts'

/** What a sheet that is linear throughout comes to, steps left aside. */
export type LinearAnswer =
  /** `x`: values of the free levers, best level by level: musts, shoulds, coulds, aims, then the largest smallest margin. */
  | { readonly outcome: 'solved'; readonly x: Float64Array }
  /** Musts (places in `program.targets`) that cannot be met together, none superfluous. */
  | { readonly outcome: 'conflict'; readonly targets: readonly number[] }
  | { readonly outcome: 'unsure' }

/** Whether every target and aim is linear, and every wish below the musts falls short in a straight line: `equal to … ±` does so by a square. */
export function linearThroughout(program: Program, part: LinearPart): boolean {
  const straight = program.targets.every(({ level, kind }) => level === 'must' || kind !== 'equal within')
  const aims = program.aims.every((aim, a) => aim.sense === 'roomiest' || part.aims[a])
  return straight && aims && part.targets.every(target => target !== null)
}

/** Solves a sheet that is linear throughout by linear programs, one a level, each frozen before the next. */
export function solveLevels(program: Program, part: LinearPart, ranges: readonly Range[]): LinearAnswer {
  if (!linearThroughout(program, part)) return { outcome: 'unsure' }
  const targets = part.targets as readonly LinearTarget[]
  const places = (level: Level) => [...targets.keys()].filter(t => program.targets[t]!.level === level)
  const variables = ranges.map(
    ({ from, to }): LinearVariable => ({ low: from, high: to, nominal: Math.max(Math.abs(from), Math.abs(to)) || 1 }),
  )
  const musts = places('must')
  const rows: LinearRow[] = musts.map(t => rowOf(targets[t]!))
  const levels: Form[] = []
  for (const level of ['should', 'could'] as const) {
    const at = places(level).map(t => shortfall(targets[t]!, variables, rows))
    if (at.length > 0) levels.push({ at, by: at.map(() => 1) })
  }
  program.aims.forEach(({ sense }, a) => {
    const aim = part.aims[a]
    if (sense !== 'roomiest' && aim) levels.push({ at: aim.at, by: aim.by.map(c => (sense === 'least' ? c : -c)) })
  })
  // An exact target has no room to be had: its margin is 0 at best.
  const roomy = [...musts, ...places('should')].filter(t => program.targets[t]!.kind !== 'equal to')
  const judged = roomy.map(t => targets[t]!)
  if (judged.length > 0) levels.push({ at: [smallestMargin(judged, variables, rows)], by: [-1] })
  const { status, x } = solveLinear({ variables, rows }, levels)
  if (x) return { outcome: 'solved', x: x.slice(0, ranges.length) }
  const clash =
    status === 'infeasible'
      ? contradiction(
          { variables, rows },
          musts.map((_, k) => [k]),
        )
      : null
  return clash ? { outcome: 'conflict', targets: clash.map(k => musts[k]!) } : { outcome: 'unsure' }
}

/** A new variable for what a target lacks, in units of its margin, with the rows that keep it as large as that. Gives its place. */
function shortfall(
  { at, by, offset, low, high, scale }: LinearTarget,
  variables: LinearVariable[],
  rows: LinearRow[],
): number {
  const place = variables.push({ low: 0, high: Number.POSITIVE_INFINITY, nominal: 1 }) - 1
  if (Number.isFinite(low)) {
    rows.push({ at: [...at, place], by: [...by, scale], low: low - offset, high: Number.POSITIVE_INFINITY })
  }
  if (Number.isFinite(high)) {
    rows.push({ at: [...at, place], by: [...by, -scale], low: Number.NEGATIVE_INFINITY, high: high - offset })
  }
  return place
}

/** A new variable no larger than any margin (which may be below zero: a should that is short). Gives its place. */
function smallestMargin(targets: readonly LinearTarget[], variables: LinearVariable[], rows: LinearRow[]): number {
  const place = variables.push({ low: Number.NEGATIVE_INFINITY, high: Number.POSITIVE_INFINITY, nominal: 1 }) - 1
  for (const { at, by, offset, low, high, scale } of targets) {
    if (Number.isFinite(low)) {
      rows.push({ at: [...at, place], by: [...by, -scale], low: low - offset, high: Number.POSITIVE_INFINITY })
    }
    if (Number.isFinite(high)) {
      rows.push({ at: [...at, place], by: [...by, scale], low: Number.NEGATIVE_INFINITY, high: high - offset })
    }
  }
  return place
}
