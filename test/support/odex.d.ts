/** The part of odex (an extrapolation integrator after Hairer and Wanner) that the tests use; it comes without types. */
export class Solver {
  constructor(dimension: number)
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
