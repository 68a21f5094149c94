import { AHEAD, type Descent, descend } from './descend.ts'
import type { ChainOptions } from './levels.ts'
import { type Run, VIOLATION } from './run.ts'
import { TIGHT } from './samples.ts'

const FINE = { bounds: null, halt: 1e-6, ahead: AHEAD, grade: TIGHT, tie: 1e-9 }

/** Goes on from a sample with tight flights, on violation alone, until next to nothing is to be gained. Gives the sample where it ends. */
export function polishViolation(run: Run, sample: number): number {
  const task: Descent = {
    ...FINE,
    options: VIOLATION,
    flights: 25,
    radius: 0.05,
    slack: 0,
    slackByMove: 0,
    ties: false,
    known: [],
  }
  return descend(run, sample, task)
}

/** All levels to the last margin and the levers' ties, with room for the rounding to nine digits. */
function thorough(run: Run, inset: number): ChainOptions {
  return { goal: 'all', rounds: run.frame.marginCount, ties: true, inset }
}

/** Goes on from a sample with tight flights, over all levels, to where they end without regard to steps. Gives the sample. */
export function polish(run: Run, sample: number): number {
  const { n } = run.frame.levers
  const flights = run.frame.allExact ? 200 : 25 + 10 * n
  return descend(run, sample, {
    ...FINE,
    options: thorough(run, 1),
    flights,
    radius: 0.1,
    slack: 1e-9,
    slackByMove: 0.02,
    ties: true,
    known: [],
  })
}

/**
 * Puts a polished sample on values that can be written, nine digits for levers without steps, and flies it: the answer there.
 * Where rounding breaks a must it backs off and rounds anew.
 */
export function write(run: Run, sample: number): void {
  const { frame, samples, chain } = run
  const { levers } = frame
  const { n } = levers
  let u = samples.point(sample).slice()
  for (let attempt = 0, inset = 4; attempt < 6; attempt++, inset *= 4) {
    const x = samples.valuesOf(sample).map((value, l) => {
      if (levers.step[l]! > 0) return value
      return levers.ranges[l]!.inward(levers.from[l]! + u[l]! * levers.width[l]!)
    })
    const written = samples.flyValues(x, TIGHT, true)
    run.model.learn(written)
    samples.propose(written)
    const violation = samples.violation(written)
    if (violation === 0 || violation > 1e-4) return
    u = samples.point(written).slice()
    const at = written * frame.rows
    if (!chain.run(run.bounds, u, samples.y, at, samples.slope, at * n, u, 1e-3, thorough(run, inset))) return
    u = u.map((from, l) => from + chain.step[l]!)
  }
}
