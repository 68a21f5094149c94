import type { Accuracy, Sample, SearchProblem } from '../search/problem.ts'

/**
 * What was flown for maps of one vehicle: by how well and by the values of the two levers. `of` says what the flights hang on; limits that
 * are numbers at both ends are not of it, so that a limit may move and nothing is flown again. Begin with `newMapMemory()`.
 */
export interface MapMemory {
  of: string
  readonly flown: Map<Accuracy, Map<number, Map<number, Sample>>>
}

/** An empty memory, to be given to one map after another. */
export function newMapMemory(): MapMemory {
  return { of: '', flown: new Map() }
}

/** Begins anew where the memory is of something else. */
export function rememberOf(memory: MapMemory, of: string): void {
  if (memory.of === of) return
  memory.of = of
  memory.flown.clear()
}

/** The problem of two levers, taking from the memory what was flown just so before, so that a map is the same to the last bit. */
export function remembering(problem: SearchProblem, { flown }: MapMemory): SearchProblem {
  const kept = (accuracy: Accuracy, first: number): Map<number, Sample> => {
    const byFirst = flown.get(accuracy) ?? new Map<number, Map<number, Sample>>()
    const bySecond = byFirst.get(first) ?? new Map<number, Sample>()
    flown.set(accuracy, byFirst)
    byFirst.set(first, bySecond)
    return bySecond
  }
  return {
    ...problem,
    fly: (x, accuracy, slopes) => {
      const known = kept(accuracy, x[0]!)
      const before = known.get(x[1]!)
      if (before) return before
      const sample = problem.fly(x, accuracy, slopes)
      known.set(x[1]!, sample)
      return sample
    },
  }
}
