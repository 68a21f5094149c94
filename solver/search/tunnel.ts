import { APART, descend, violationDescent } from './descend.ts'
import type { Bound, Frame } from './frame.ts'
import { COULD, EQUAL, EQUAL_WITHIN, MUST, SHOULD } from './frame.ts'
import { TIE } from './order.ts'
import { type Run, VIOLATION } from './run.ts'
import { figureOf, yAt } from './scale.ts'
import { near } from './start.ts'

/** A place is not gone to where even straight lines promise that it stays this far from being better. */
const HOPELESS = 0.1

/**
 * Looks for another place that is better than the best: every point flown so far, but those about the best, is asked where a chain of linear programs
 * with the row "better than the best" leads; from the `most` that land elsewhere with the least excess it goes down on
 * violation. Gives the samples where the descents end inside.
 */
export function tunnel(run: Run, bounds: readonly Bound[], most: number, flights: number): number[] {
  const { frame, samples, chain } = run
  const { n } = frame.levers
  const best = samples.point(samples.best).slice()
  const found: { sample: number; lands: Float64Array; excess: number }[] = []
  for (let sample = 0; sample < samples.count; sample++) {
    if (samples.sloped[sample] === 0) continue
    const u = samples.point(sample)
    if (near(u, best, APART)) continue
    if (
      !chain.run(bounds, u, samples.y, sample * frame.rows, samples.slope, sample * frame.rows * n, u, 0.35, VIOLATION)
    )
      continue
    const lands = u.slice()
    for (let l = 0; l < n; l++) lands[l] = lands[l]! + chain.step[l]!
    if (chain.violation <= HOPELESS && !near(lands, best, APART)) found.push({ sample, lands, excess: chain.violation })
  }
  found.sort((a, b) => a.excess - b.excess)
  const taken: typeof found = []
  for (const each of found) {
    if (taken.length >= most) break
    if (!taken.some(other => near(other.lands, each.lands, APART))) taken.push(each)
  }
  // What is led to the best after all would end there: that place was settled. Far from what it has learnt the model cannot look far ahead.
  const task = violationDescent(flights, bounds, { known: [best], ahead: 4 })
  return taken.map(each => descend(run, each.sample, task)).filter(end => end >= 0)
}

/**
 * What a point must hold to be better than the best at the first level that can still improve, as bounds: the levels before
 * it kept, the level itself passed by a little. Null where nothing can improve.
 */
export function betterThanBest(run: Run, from = 0): readonly Bound[] | null {
  const { frame, samples } = run
  const key = samples.bestKey
  if (key[0]! > 0) return null
  if (from <= 1 && key[1]! > TIE) return [...musts(frame), ...narrowed(run, SHOULD)]
  const shoulds = [...musts(frame), ...kept(run, SHOULD)]
  if (from <= 2 && key[2]! > TIE) return [...shoulds, ...narrowed(run, COULD)]
  const held = [...shoulds, ...kept(run, COULD)]
  for (const part of frame.parts) {
    if (part.at < 3) continue
    if (part.kind === 'aim') {
      const aim = aimBound(run, part.row, part.sign, part.at < from)
      if (part.at < from) held.push(...aim)
      else return aim.length > 0 ? [...held, ...aim] : null
    } else if (part.at >= from) return wider(run, held, key[part.at]!)
  }
  return null
}

function musts(frame: Frame): Bound[] {
  return frame.bounds.filter(bound => bound.level === MUST)
}

/** What a soft target is short by at the best, in units of its margin; below zero: room. */
function shortOf(run: Run, bound: Bound): number {
  const { frame, samples } = run
  const y = samples.y[samples.best * frame.rows + bound.row]!
  const target = frame.targets[bound.target]!
  const figure = figureOf(frame, bound.row, y)
  return (bound.side > 0 ? figure - target.high : target.low - figure) / target.scale
}

/** Bounds of a level, moved so that none is shorter than at the best. */
function kept(run: Run, level: number): Bound[] {
  return run.frame.bounds
    .filter(bound => bound.level === level)
    .map(bound => moved(run, bound, Math.max(0, shortOf(run, bound))))
}

/** Bounds of a level, each short by no more than 0.98 of the worst. */
function narrowed(run: Run, level: number): Bound[] {
  const { frame } = run
  const bounds = frame.bounds.filter(bound => bound.level === level)
  const squares = (bound: Bound): number => (frame.targets[bound.target]!.kind === EQUAL_WITHIN ? 1 : 0)
  const worst = Math.max(...bounds.map(bound => shortOf(run, bound) + squares(bound)))
  return bounds.map(bound => moved(run, bound, 0.98 * worst - squares(bound)))
}

/** A bound that forgives `by` units. */
function moved(run: Run, bound: Bound, by: number): Bound {
  const { frame } = run
  const target = frame.targets[bound.target]!
  const limit = (bound.side > 0 ? target.high : target.low) + bound.side * by * target.scale
  const { target: place, row, side, unit } = bound
  // Written out, as the frame's are, so that all bounds are of one kind to the engine.
  return {
    target: place,
    row,
    level: MUST,
    side,
    limit: yAt(frame, row, limit, bound.limit, side * by * unit),
    unit,
    shift: by,
  }
}

/** The aim's row held (`hold`) or passed by 1e-4 of itself, or by a step where it is worth more. */
function aimBound(run: Run, row: number, sign: number, hold: boolean): Bound[] {
  const { frame, samples } = run
  const { n, step } = frame.levers
  const at = samples.best * frame.rows + row
  const y = samples.y[at]!
  if (!Number.isFinite(y)) return []
  let passed = 1e-4 * Math.max(1e-3, Math.abs(y))
  const like = samples.sloped.subarray(0, samples.count).lastIndexOf(1)
  if (frame.exact[row] && like >= 0) {
    const slopes = Array.from({ length: n }, (_, l) =>
      Math.abs(samples.slope[(like * frame.rows + row) * n + l]! * step[l]!),
    )
    const moving = slopes.filter(by => by > 0)
    if (moving.length === 1) passed = 0.9 * moving[0]!
  }
  const limit = y - sign * (hold ? -TIE * Math.max(1e-3, Math.abs(y)) : passed)
  return [{ target: -1, row, level: MUST, side: sign, limit, unit: Math.max(1e-3, Math.abs(y)), shift: 0 }]
}

/** Every margin of musts and shoulds wider than the best's smallest. */
function wider(run: Run, held: readonly Bound[], smallest: number): readonly Bound[] | null {
  const { frame } = run
  const needed = -smallest + 1e-3 * Math.abs(smallest) + 1e-4
  const bounds = frame.bounds.filter(bound => bound.level !== COULD && frame.targets[bound.target]!.kind !== EQUAL)
  if (bounds.length === 0 || Math.abs(smallest) > 1e6) return null
  return [...held, ...bounds.map(bound => moved(run, bound, -needed))]
}
