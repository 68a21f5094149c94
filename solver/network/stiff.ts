import type { FittedCurve, FlightContext, FlightNode } from './node.ts'

/** Steps for central differences, as a share of the moved inputs' sizes: flights at 1e-9 then give slopes to some 1e-6. */
const SHARE = 1e-4

/**
 * Slopes by lanes that move inputs which a node takes as fixed: two tight flights a lane, a small step to either side along the lane.
 * Writes them into the context's `outputSlopes` and gives the work they cost. Curves go along with their own slopes.
 */
export function differences(node: FlightNode, context: FlightContext, lanes: readonly number[]): number {
  const outputs = [new Float64Array(context.outputs.length), new Float64Array(context.outputs.length)]
  let work = 0
  for (const lane of lanes) {
    const step = stepAlong(context, lane)
    for (const side of [0, 1]) {
      const moved = step * (side === 0 ? -1 : 1)
      const inputs = context.inputs.map((value, k) => value + moved * context.inputSlopes[k * context.lanes + lane]!)
      const curves = context.curves.map(curve => shifted(curve, lane, moved))
      const none = new Float64Array(0)
      const report = node.run({
        inputs,
        inputSlopes: none,
        lanes: 0,
        accuracy: 'tight',
        extent: context.extent,
        usual: context.usual,
        curves,
        outputs: outputs[side]!,
        outputSlopes: none,
      })
      work += report.work
    }
    for (let k = 0; k < context.outputs.length; k++) {
      const slope = (outputs[1]![k]! - outputs[0]![k]!) / (2 * step)
      context.outputSlopes[k * context.lanes + lane] = Number.isFinite(slope) ? slope : 0
    }
  }
  return work
}

/** A step of the lever that changes no input by more than SHARE of its size. */
function stepAlong({ inputs, inputSlopes, lanes }: FlightContext, lane: number): number {
  let step = Number.POSITIVE_INFINITY
  inputs.forEach((value, k) => {
    const slope = Math.abs(inputSlopes[k * lanes + lane]!)
    if (slope > 0 && value !== 0) step = Math.min(step, (SHARE * Math.abs(value)) / slope)
  })
  return Number.isFinite(step) ? step : SHARE
}

function shifted(curve: FittedCurve, lane: number, step: number): FittedCurve {
  const by = curve.slopes[lane]!
  return { ...curve, coefficients: curve.coefficients.map((c, k) => c + step * by[k]!), slopes: [] }
}
