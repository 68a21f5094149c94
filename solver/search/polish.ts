import { descend } from './descend.ts'
import { type Run, VIOLATION } from './run.ts'
import { TIGHT } from './samples.ts'

/** Goes on from a sample with tight flights, on violation alone, until next to nothing is to be gained. Gives the sample where it ends. */
export function polishViolation(run: Run, sample: number): number {
  return descend(run, sample, {
    options: VIOLATION,
    bounds: null,
    flights: 25,
    radius: 0.05,
    halt: 1e-7,
    grade: TIGHT,
    slack: 0,
    slackByMove: 0,
    tie: 1e-9,
  })
}
