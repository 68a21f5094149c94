import {
  across,
  type Flown,
  pose,
  prove,
  type Range,
  recorded,
  type SearchResult,
  search,
  type Watch,
} from '../../solver/index.ts'
import type { Session } from './session.ts'

/** The settings found (values of the free levers, in `state.free`'s order), and how sure that is. */
export interface Found {
  readonly session: Session
  readonly result: SearchResult
  /** Scales of zero limits, target by target. */
  readonly widths: readonly number[]
  /** What was flown with slopes on the way: questions about prices begin from there. */
  readonly flown: Flown[]
  /** What ends whatever is still looked for about it. */
  readonly watch?: Watch
}

/**
 * Finds the settings of a sound session: narrowing first, then the search. `start`: values of the free levers to begin from as
 * well, the answer to a sheet like this one. `watch`: told how many flights were made so far; false stops it.
 */
export function find(session: Session, start?: Float64Array, watch?: Watch): Found {
  const { state } = session
  const ranges = [...state.free].map(lever => session.ranges[lever]!.range)
  const proof = prove(state, ranges)
  const widths = [...proof.widths]
  const over = watch ? across(watch) : null
  const watched = over ? { watch: over.watch } : {}
  const flown: Flown[] = []
  const within = (low: Float64Array, high: Float64Array): SearchResult =>
    search(recorded(pose(state, ranges, low, high, widths), flown).problem, {
      ...(start ? { start } : {}),
      ...watched,
    })
  if (!proof.contradiction) {
    const result = within(proof.low, proof.high)
    if (result.x || over?.ended()) return { session, widths, result, flown, ...watched }
  }
  // Nothing inside the proved box: what comes closest lies anywhere in the ranges.
  const closest = within(
    Float64Array.from(ranges, range => range.from),
    Float64Array.from(ranges, range => range.to),
  )
  const evidence = proof.contradiction ? 'proved' : closest.evidence
  const outcome = proof.contradiction ? 'conflict' : closest.outcome
  return { session, widths, result: { ...closest, outcome, evidence }, flown, ...watched }
}

/** The settings in the middle of ranges: what stands for settings where none has any value. */
export function middleOf(ranges: readonly Range[]): Float64Array {
  return Float64Array.from(ranges, ({ from, to, settings }) =>
    settings ? settings[settings.length >> 1]! : (from + to) / 2,
  )
}
