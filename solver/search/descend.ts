import type { Bound, Frame } from './frame.ts'
import type { ChainOptions } from './levels.ts'
import { tieAt } from './order.ts'
import { type Run, VIOLATION, WHOLE } from './run.ts'
import { LOOSE, MEDIUM } from './samples.ts'
import { figureOf } from './scale.ts'
import { near } from './start.ts'

export interface Descent {
  readonly options: ChainOptions
  /** Bounds other than the problem's own: then the largest of them is all that counts. */
  readonly bounds: readonly Bound[] | null
  readonly flights: number
  readonly radius: number
  /** Ends once every move is below this share of a step; levers without steps count as if theirs were `FINE`. */
  readonly halt: number
  /** How many moves the model looks ahead before one is flown. */
  readonly ahead: number
  /** How well it flies; null: loosely at first, well once the moves are short. */
  readonly grade: number | null
  /** Violations below this, with this much a unit of move, are none; differences below `tie` are none. */
  readonly slack: number
  readonly slackByMove: number
  readonly tie: number
  /** Whether the levers' ties count. */
  readonly ties: boolean
  /** Places already known: a descent that is led to within `APART` of one ends. */
  readonly known: readonly Float64Array[]
}

const FINE = 2e-3
/** Places nearer than this are one. */
export const APART = 0.12
/** A loose flight that ends a move nearer than this share of it to one flown already would tell the same. */
const ALIKE = 0.05
/** Moves shorter than this are flown well. */
const SHORT = 0.08

/** How far a descent goes at once at first, and how far it looks ahead, where nothing else is said. */
const WIDE = 0.35
export const AHEAD = 10

/** What a descent may be given otherwise than usual. */
type Own = Partial<Pick<Descent, 'radius' | 'known' | 'ahead'>>

/** A descent over all levels. */
export function wholeDescent(flights: number, own: Own = {}): Descent {
  return rough(WHOLE, null, flights, own)
}

/** A descent on the largest violation, of the musts or of other bounds. */
export function violationDescent(flights: number, bounds: readonly Bound[] | null, own: Own = {}): Descent {
  return rough(VIOLATION, bounds, flights, own)
}

/** Written out, not spread, so that all descents are of one kind to the engine. */
function rough(
  options: ChainOptions,
  bounds: readonly Bound[] | null,
  flights: number,
  { radius = WIDE, known = [], ahead = AHEAD }: Own,
): Descent {
  return {
    options,
    bounds,
    flights,
    radius,
    halt: 0.15,
    ahead,
    grade: null,
    slack: 1e-4,
    slackByMove: 0.02,
    tie: 1e-5,
    ties: false,
    known,
  }
}

/**
 * Goes down from a sample by chains of linear programs in a trust region: on the sample's own slopes while flights are loose,
 * on the model's quadratics from the first well-flown one on. Gives the sample where it ends, −1 where it was led to a known place.
 */
export function descend(run: Run, start: number, task: Descent): number {
  const { frame, samples } = run
  const { n } = frame.levers
  const last = new Float64Array(n)
  const merit = new Merit(run, task)
  let current = start
  let radius = task.radius
  for (let flights = 0; flights < task.flights && !run.spent; ) {
    if (merit.done(current)) break
    const from = samples.point(current).slice()
    const to = foresee(run, current, radius, task, merit)
    const move = to ? lengthOf(from, to) : 0
    if (!to || isSmall(frame, from, to, task.halt)) {
      const grade = task.grade ?? MEDIUM
      if (samples.grade[current]! >= grade) break
      current = run.fly(from, grade)
      flights++
      continue
    }
    if (task.known.some(place => near(to, place, APART))) return -1
    const flown = flyThere(run, to, move, task)
    if (flown === current) break
    flights++
    if (merit.better(flown, current, task.slack + task.slackByMove * move)) {
      let along = 0
      for (let l = 0; l < n; l++) {
        const by = to[l]! - from[l]!
        along += by * last[l]!
        last[l] = by
      }
      radius = along < 0 ? 0.4 * move : Math.min(0.5, Math.max(radius, 2 * move))
      current = flown
    } else radius = 0.35 * move
  }
  return current
}

/**
 * Flies where the chain leads, unless so near a place was flown as well already that nothing new would be learnt. Where no steps round the answer
 * no flight stands for its neighbours: the way leads to the optimum itself.
 */
function flyThere(run: Run, to: Float64Array, move: number, task: Descent): number {
  const { samples, frame } = run
  const { n, step, size } = frame.levers
  const grade = task.grade ?? (move < SHORT ? MEDIUM : LOOSE)
  if (size === Number.POSITIVE_INFINITY) return run.fly(to, grade)
  for (let sample = samples.count - 1; sample >= 0; sample--) {
    if (samples.grade[sample]! < grade || samples.sloped[sample] === 0) continue
    let l = 0
    while (l < n) {
      const reach = grade === LOOSE ? ALIKE * move : task.halt * (step[l]! || FINE)
      if (!(Math.abs(samples.u[sample * n + l]! - to[l]!) < reach)) break
      l++
    }
    if (l === n) return sample
  }
  return run.fly(to, grade)
}

/** Where the chain leads from a sample within the radius; null where it leads nowhere. */
function foresee(run: Run, current: number, radius: number, task: Descent, merit: Merit): Float64Array | null {
  const { frame, samples, chain, model } = run
  const { n } = frame.levers
  const bounds = task.bounds ?? run.bounds
  const center = samples.point(current).slice()
  if (
    !chain.run(
      bounds,
      center,
      samples.y,
      current * frame.rows,
      samples.slope,
      current * frame.rows * n,
      center,
      radius,
      task.options,
    )
  )
    return null
  let point = center.map((from, l) => from + chain.step[l]!)
  if (samples.grade[current]! < MEDIUM || !samples.lifts[current]) return point
  merit.hold(current)
  let own = radius
  let at = center
  for (let round = 0; round < task.ahead; round++) {
    model.predictFrom(current, point, run.algebra(point))
    if (merit.improves(point)) {
      at = point
      merit.keep()
    } else {
      own = 0.4 * Math.min(own, lengthOf(at, point))
      model.predictFrom(current, at, run.algebra(at))
    }
    if (!chain.run(bounds, at, model.y, 0, model.slope, 0, center, radius, task.options, own)) break
    const next = at.map((from, l) => from + chain.step[l]!)
    if (isSmall(frame, at, next, 0.1 * task.halt)) break
    point = next
  }
  return at
}

/** What a descent goes by: the levels in order with small differences forgiven, or the largest excess over bounds of its own. */
class Merit {
  private readonly run: Run
  private readonly task: Descent
  private held = 0
  private readonly heldKey: Float64Array
  private fresh = 0

  constructor(run: Run, task: Descent) {
    this.run = run
    this.task = task
    this.heldKey = new Float64Array(run.frame.keySize)
  }

  /** Nothing left to go down. */
  done(sample: number): boolean {
    if (this.task.options.goal !== 'violation') return false
    return this.of(sample) <= 0
  }

  better(a: number, b: number, slack: number): boolean {
    const { samples, frame } = this.run
    if (this.task.options.goal === 'violation') return this.of(a) < this.of(b) - 1e-9
    return isBetter(frame, samples.key(a), samples.key(b), slack, this.task)
  }

  hold(sample: number): void {
    this.held = this.task.options.goal === 'violation' ? this.of(sample) : 0
    this.heldKey.set(this.run.samples.key(sample))
  }

  /** Whether the model's prediction at a point is better than what is held. */
  improves(point: Float64Array): boolean {
    const { run } = this
    if (this.task.bounds) {
      this.fresh = excess(run.frame, this.task.bounds, run.model.y, 0)
      return this.fresh < this.held - 1e-9
    }
    run.expected(point, run.key)
    this.fresh = run.key[0]!
    if (this.task.options.goal === 'violation') return this.fresh < this.held - 1e-9
    return isBetter(run.frame, run.key, this.heldKey, Math.min(1e-6, this.task.slack), this.task)
  }

  keep(): void {
    this.held = this.fresh
    this.heldKey.set(this.run.key)
  }

  private of(sample: number): number {
    const { samples, frame } = this.run
    return this.task.bounds
      ? excess(frame, this.task.bounds, samples.y, sample * frame.rows)
      : samples.violation(sample)
  }
}

/** The largest excess of y over bounds, in units of their margins. */
export function excess(frame: Frame, bounds: readonly Bound[], y: Float64Array, at: number): number {
  let most = Number.NEGATIVE_INFINITY
  for (const bound of bounds) {
    let value = y[at + bound.row]!
    const rows = bound.side < 0 && bound.target >= 0 ? frame.targets[bound.target]!.rows : null
    if (rows && rows.length > 1) {
      const figures = rows.map(row => figureOf(frame, row, y[at + row]!))
      const top = figures.indexOf(Math.max(...figures))
      if (rows[top] !== bound.row) continue
      value = y[at + rows[top]!]!
    }
    const by = (bound.side * (value - bound.limit)) / bound.unit
    most = Number.isNaN(by) ? Number.POSITIVE_INFINITY : Math.max(most, by)
  }
  return most
}

/** Level by level; violations under `slack` are none, differences under the task's `tie` ties. */
export function isBetter(frame: Frame, a: Float64Array, b: Float64Array, slack: number, task: Descent): boolean {
  for (let k = 0; k < frame.tiesAt; k++) {
    let [one, two] = [a[k]!, b[k]!]
    if (k === 0) {
      one = one < slack ? 0 : one
      two = two < slack ? 0 : two
    }
    if (one === two) continue
    const tie = tieAt(frame, k, two, task.tie)
    if (one < two - tie) return true
    if (one > two + tie) return false
  }
  if (!task.ties) return false
  for (let k = frame.tiesAt; k < frame.keySize; k += 2) {
    if (a[k]! < b[k]! - task.tie) return true
    if (a[k]! > b[k]! + task.tie) return false
  }
  return false
}

function lengthOf(from: Float64Array, to: Float64Array): number {
  let most = 0
  for (let l = 0; l < from.length; l++) most = Math.max(most, Math.abs(to[l]! - from[l]!))
  return most
}

export function isSmall(frame: Frame, from: Float64Array, to: Float64Array, share: number): boolean {
  const { step } = frame.levers
  for (let l = 0; l < from.length; l++) if (Math.abs(to[l]! - from[l]!) > share * (step[l]! || FINE)) return false
  return true
}
