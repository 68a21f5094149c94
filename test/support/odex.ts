import { createRequire } from 'node:module'

/** The part of odex (an extrapolation integrator after Hairer and Wanner) that the tests use. */
interface Odex {
  readonly Solver: new (
    dimension: number,
  ) => {
    absoluteTolerance: number | number[]
    relativeTolerance: number | number[]
    initialStepSize: number
    maxSteps: number
    solve(
      rates: (x: number, y: number[]) => number[],
      from: number,
      start: number[],
      to: number,
    ): { y: number[]; outcome: number; nEval: number }
  }
}

// It brings no types but its own source, which our checks of types would then go through as well: it is fetched past them.
export const { Solver }: Odex = createRequire(import.meta.url)('odex')
