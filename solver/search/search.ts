import { descend, wholeDescent } from './descend.ts'
import { frameOf } from './frame.ts'
import { type Levers, leversOf, valuesAt } from './levers.ts'
import type { Sample, SearchProblem, SearchResult } from './problem.ts'
import { Run } from './run.ts'
import { LOOSE } from './samples.ts'
import { rounded, settle } from './settle.ts'
import { near, rankStarts, startPoints } from './start.ts'

export interface SearchOptions {
  /** Lever values in SI to begin from as well: the answer to a sheet like this one. */
  readonly start?: Float64Array
  /** Flights' worth of work after which nothing more is tried. */
  readonly flightLimit?: number
}

/** Finds the settings that a problem asks for (design: what solving means). Deterministic; knows no clock. */
export function search(problem: SearchProblem, options: SearchOptions = {}): SearchResult {
  const levers = leversOf(problem.levers, problem.low, problem.high)
  const points = startPoints(levers, 3)
  const x = new Float64Array(levers.n)
  const flown = points.map((u): Sample => {
    valuesAt(levers, u, 0, x)
    return problem.fly(x, 'loose', true)
  })
  const run = new Run(frameOf(problem, levers, flown), options.flightLimit ?? Number.POSITIVE_INFINITY)
  const starts = flown.map((sample, i) => run.samples.add(points[i]!, sample, LOOSE, true))
  const ranked = rankStarts(run, starts)
  const ends: number[] = []
  for (const start of ranked) {
    if (ends.length >= 2) break
    if (ends.some(end => near(start.lands, run.samples.point(end), 0.12))) continue
    ends.push(descend(run, start.sample, wholeDescent(8)))
  }
  for (const end of ends) settle(run, rounded(run, run.samples.point(end)))
  return answer(run, levers)
}

function answer(run: Run, levers: Levers): SearchResult {
  const { samples } = run
  const x = new Float64Array(levers.n)
  if (samples.best >= 0) valuesAt(levers, samples.point(samples.best), 0, x)
  return { outcome: samples.solved ? 'solved' : 'unsure', evidence: 'searched', x, flights: samples.work, tried: '' }
}
