import type { Frame } from './frame.ts'
import { MUST } from './frame.ts'
import { shareOf } from './levers.ts'
import { allowance, largest, marginOf } from './margin.ts'
import type { Sample } from './problem.ts'
import type { Run } from './run.ts'
import { LOOSE, TIGHT } from './samples.ts'

/** More settings than this are not gone through one by one. */
export const MOST_SETTINGS = 20_000
/** Loosely flown settings that are short of no must by more than this share of its limit are flown tightly. */
const NEAR = 0.02

/** Calls back with every setting of the box. */
export function eachSetting(frame: Frame, visit: (k: Int32Array) => void): void {
  const { n, count } = frame.levers
  const k = new Int32Array(n)
  for (;;) {
    visit(k)
    let l = n - 1
    while (l >= 0 && ++k[l]! >= count[l]!) k[l--] = 0
    if (l < 0) return
  }
}

/** The largest violation among the musts that hang on exact rows alone. */
export function exactViolation(frame: Frame, algebra: Sample, figures: Float64Array): number {
  for (let r = 0; r < frame.rows; r++) {
    const value = algebra.rows[frame.rowAt[r]!]!
    figures[r] = frame.figure[r] ? frame.figure[r]!(value) : value
  }
  let most = 0
  for (const target of frame.targets) {
    if (target.level !== MUST || !target.rows.every(row => frame.exact[row])) continue
    const value = largest(target.rows, figures)
    const margin = marginOf(target, value, value)
    if (!(margin >= -allowance(target.kind))) most = Math.max(most, Number.isNaN(margin) ? 1e9 : Math.min(1e9, -margin))
  }
  return most
}

/** Whether the exact musts alone rule out every setting of the box. */
export function ruledOut(run: Run): boolean {
  const { frame } = run
  const exact = frame.targets.some(target => target.level === MUST && target.rows.every(row => frame.exact[row]))
  if (!exact || !(frame.levers.size <= MOST_SETTINGS)) return false
  const figures = new Float64Array(frame.rows)
  const u = new Float64Array(frame.levers.n)
  let open = false
  eachSetting(frame, k => {
    if (open) return
    for (let l = 0; l < u.length; l++) u[l] = shareOf(frame.levers, l, k[l]!)
    open = exactViolation(frame, run.algebra(u), figures) === 0
  })
  return !open
}

/**
 * Flies every setting of the box that algebra does not rule out, loosely, and tightly those that are nearly met or nearly the
 * least short. What is best among them is then the samples' best.
 */
export function sweep(run: Run): void {
  const { frame, samples } = run
  const { levers } = frame
  const figures = new Float64Array(frame.rows)
  const u = new Float64Array(levers.n)
  const flown: { k: Int32Array; violation: number; share: number }[] = []
  const excluded: { k: Int32Array; violation: number }[] = []
  let least = samples.best >= 0 ? samples.bestKey[0]! : Number.POSITIVE_INFINITY
  const loosely = (k: Int32Array): void => {
    const sample = samples.flySetting(k, frame.allExact ? TIGHT : LOOSE, false, true)
    const violation = samples.violation(sample)
    least = Math.min(least, violation)
    flown.push({ k: k.slice(), violation, share: shareShort(run, sample) })
  }
  eachSetting(frame, k => {
    if (run.stopped) return
    for (let l = 0; l < u.length; l++) u[l] = shareOf(levers, l, k[l]!)
    const violation = frame.allExact ? 0 : exactViolation(frame, run.algebra(u), figures)
    if (violation > 0) excluded.push({ k: k.slice(), violation })
    else loosely(k)
    void run.spent
  })
  const tightly = flown.filter(each => each.share <= NEAR)
  for (const { k } of tightly) samples.flySetting(k, TIGHT, false, true)
  if (samples.finals.length > 0) samples.sift()
  if (samples.solved) return
  // No answer: the closest compromise may lie where algebra alone forbids.
  for (const { k, violation } of excluded) if (violation < 1.02 * least + 1e-3) loosely(k)
  for (const { k, violation } of flown) if (violation < 1.02 * least + 1e-3) samples.flySetting(k, TIGHT, false, true)
  samples.sift()
}

/** As many settings of plain algebra are gone through where nothing else gave an answer: they cost no flights. */
export const MOST_ALGEBRA = 1_000_000
/** Of the settings that meet every must, as many are weighed against one another. */
const MOST_WEIGHED = 5000

/** Goes through every setting of a box where all is algebra; those that meet the musts may be the answer. True where there are some. */
export function scan(run: Run): boolean {
  const { frame, samples } = run
  const { levers } = frame
  const figures = new Float64Array(frame.rows)
  const u = new Float64Array(levers.n)
  let least = Number.POSITIVE_INFINITY
  let met: Int32Array[] = []
  eachSetting(frame, k => {
    for (let l = 0; l < u.length; l++) u[l] = shareOf(levers, l, k[l]!)
    const violation = exactViolation(frame, run.algebra(u), figures)
    if (violation > least || (violation === least && met.length >= MOST_WEIGHED)) return
    if (violation < least) met = []
    least = violation
    met.push(k.slice())
  })
  for (const k of met) samples.flySetting(k, TIGHT, false, true)
  if (met.length > 0) samples.sift()
  return samples.solved
}

/** How far short of its limit, as a share of the limit itself, the worst must is: a band's half-width may be far smaller. */
export function shareShort(run: Run, sample: number): number {
  const { frame, samples } = run
  let most = 0
  for (const target of frame.targets) {
    if (target.level !== MUST) continue
    const at = sample * frame.rows
    for (let r = 0; r < frame.rows; r++) run.figures[r] = run.figure(r, samples.y[at + r]!)
    const value = largest(target.rows, run.figures)
    const short = Math.max(target.low - value, value - target.high)
    if (short <= 0) continue
    const limit = value > target.high ? target.high : target.low
    most = Math.max(most, Number.isNaN(short) ? Number.POSITIVE_INFINITY : short / (Math.abs(limit) || target.scale))
  }
  return most
}
