import { pose, prove, type SearchResult, search } from '../../solver/index.ts'
import type { Session } from './session.ts'

/** The settings found (values of the free levers, in `state.free`'s order), and how sure that is. */
export interface Found {
  readonly session: Session
  readonly result: SearchResult
  /** Scales of zero limits, target by target. */
  readonly widths: readonly number[]
}

/**
 * Finds the settings of a sound session: narrowing first, then the search. `start`: values of the free levers to begin from as
 * well, the answer to a sheet like this one.
 */
export function find(session: Session, start?: Float64Array): Found {
  const { state } = session
  const ranges = [...state.free].map(lever => session.ranges[lever]!.range)
  const proof = prove(state, ranges)
  const widths = [...proof.widths]
  const within = (low: Float64Array, high: Float64Array): SearchResult =>
    search(pose(state, ranges, low, high, widths), start ? { start } : {})
  if (!proof.contradiction) {
    const result = within(proof.low, proof.high)
    if (result.x) return { session, widths, result }
  }
  // Nothing inside the proved box: what comes closest lies anywhere in the ranges.
  const closest = within(
    Float64Array.from(ranges, range => range.from),
    Float64Array.from(ranges, range => range.to),
  )
  const evidence = proof.contradiction ? 'proved' : closest.evidence
  const outcome = proof.contradiction ? 'conflict' : closest.outcome
  return { session, widths, result: { ...closest, outcome, evidence } }
}
