import type { Expr, Id } from '../../solver/model/expr.ts'
import type { FlightModel, Model, Quantity, Range, StageModel } from '../../solver/model/model.ts'
import type { FlightNode, NodeFactory, Parts } from '../../solver/network/index.ts'

/** Short forms for expressions and quantities in tests. */
export const num = (value: number): Expr => ({ op: 'const', value })
export const ref = (id: Id): Expr => ({ op: 'ref', id })
export const add = (a: Expr, b: Expr): Expr => ({ op: 'add', a, b })
export const sub = (a: Expr, b: Expr): Expr => ({ op: 'sub', a, b })
export const mul = (a: Expr, b: Expr): Expr => ({ op: 'mul', a, b })
export const div = (a: Expr, b: Expr): Expr => ({ op: 'div', a, b })
export const fact = (name: string, value: Expr | number): Quantity => ({
  role: 'fact',
  name,
  value: typeof value === 'number' ? num(value) : value,
})
export const figure = (name: string, value: Expr): Quantity => ({ role: 'figure', name, value })
export const flown = (name: string, flight: number, output = name): Quantity => ({
  role: 'flown',
  name,
  flight,
  output,
})
export const range = (from: number, to: number, settings: Float64Array | null = null): Range => ({
  from,
  to,
  settings,
  inward: x => x,
})
export const lever = (name: string, from = 0, to = 1, settings: Float64Array | null = null): Quantity => ({
  role: 'lever',
  name,
  range: range(from, to, settings),
})

/** A model of these quantities and nothing else, unless given. */
export const model = (quantities: readonly Quantity[], rest: Partial<Model> = {}): Model => ({
  quantities,
  bodies: [{ kind: 'earth' }],
  flights: [],
  targets: [],
  aims: [],
  ...rest,
})

/** A flight of one stage with plain numbers, but for what is given. */
export const flight = (name: string, stage: Partial<StageModel> = {}, launchAltitude: Expr = num(0)): FlightModel => ({
  name,
  body: 0,
  launchAltitude,
  stages: [
    {
      name,
      dryMass: num(165),
      propellantMass: num(270),
      vacuumThrust: num(17500),
      seaLevelThrust: num(15400),
      exhaustSpeed: num(2373),
      throttleCap: num(1),
      referenceArea: num(0.125),
      dragCoefficient: num(0.42),
      dragBreaks: [],
      ...stage,
    },
  ],
})

/**
 * Stands for a flight in tests of the network: speed by the rocket equation, height v²/2g above the launch altitude, `peak g` thrust over
 * dry mass, `max q` the drag coefficient at mach 1.3 times the area times the speed. `apoapsis` has no value with less than 1 kg of
 * propellant and is infinite beyond 11 km/s. The launch altitude's slope is left to the network.
 */
export function closedFlights(log: string[] = []): NodeFactory {
  return ({ name, launchAltitude, stages }): FlightNode => {
    const stage = stages[0]!
    const { dryMass, propellantMass, vacuumThrust, exhaustSpeed, throttleCap, referenceArea } = stage
    return {
      inputs: [dryMass, propellantMass, vacuumThrust, exhaustSpeed, throttleCap, referenceArea, launchAltitude],
      functions: [{ body: stage.dragCoefficient, breaks: stage.dragBreaks }],
      outputs: [
        { name: 'apoapsis', low: 0, high: Number.POSITIVE_INFINITY },
        { name: 'peak g', low: 0, high: Number.POSITIVE_INFINITY },
        { name: 'max q', low: 0, high: Number.POSITIVE_INFINITY },
      ],
      rigid: [6],
      lifts: ([dry, fuel, thrust, , cap]) => cap! * thrust! > 9.8 * (dry! + fuel!),
      run: ({ inputs, inputSlopes, lanes, accuracy, curves, outputs, outputSlopes }) => {
        log.push(`${name} ${accuracy} ${lanes}`)
        const [dry, fuel, thrust, exhaust, cap, area, altitude] = inputs as unknown as number[]
        const { knots, coefficients, slopes } = curves[0]!
        let k = 0
        while (k + 1 < knots.length && knots[k + 1]! <= 1.3) k++
        const w = 1.3 - knots[k]!
        const cubic = (c: Float64Array) => c[4 * k]! + w * (c[4 * k + 1]! + w * (c[4 * k + 2]! + w * c[4 * k + 3]!))
        const drag = cubic(coefficients)
        const speed = exhaust! * Math.log((dry! + fuel!) / dry!)
        outputs[0] =
          fuel! < 1 ? Number.NaN : speed > 11e3 ? Number.POSITIVE_INFINITY : altitude! + (speed * speed) / 19.6
        outputs[1] = (cap! * thrust!) / dry!
        outputs[2] = drag * area! * speed
        for (let l = 0; l < lanes; l++) {
          const [dDry, dFuel, dThrust, dExhaust, dCap, dArea] = [0, 1, 2, 3, 4, 5].map(i => inputSlopes[i * lanes + l]!)
          const dSpeed = (dExhaust! * speed) / exhaust! + exhaust! * ((dDry! + dFuel!) / (dry! + fuel!) - dDry! / dry!)
          outputSlopes[l] = (speed * dSpeed) / 9.8
          outputSlopes[lanes + l] = (dCap! * thrust! + cap! * dThrust!) / dry! - (cap! * thrust! * dDry!) / dry! ** 2
          outputSlopes[2 * lanes + l] = cubic(slopes[l]!) * area! * speed + drag * (dArea! * speed + area! * dSpeed)
        }
        return { outcome: 'comes down', work: 1 + 0.45 * lanes }
      },
    }
  }
}

/** Closed flights, and a stand-in air: 100 kPa falling by e every 8 km on Earth, a body's own numbers elsewhere. */
export function closedParts(log: string[] = []): Parts {
  return {
    node: closedFlights(log),
    air: (_, numbers, property, altitude, out) => {
      const surface = numbers.length > 0 ? numbers[2]! : 100_000
      const height = numbers.length > 0 ? numbers[4]! : 8000
      out[0] = property === 'pressure' ? surface * Math.exp(-altitude / height) : Number.NaN
      out[1] = -out[0]! / height
      if (property === 'gravity') [out[0], out[1]] = [9.8, 0]
    },
    airTurns: () => ({ floor: Number.NEGATIVE_INFINITY, turns: [] }),
  }
}
