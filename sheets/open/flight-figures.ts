import { type Expr, type FlightModel, impulseOf, type StageModel } from '../../solver/index.ts'
import { constant } from './checked.ts'

const REFERENCE_PRESSURE = 101325 // Pa, at which "sea level thrust" is told

const binary =
  (op: 'add' | 'sub' | 'mul' | 'div' | 'max' | 'min') =>
  (a: Expr, b: Expr): Expr => ({ op, a, b })
const [add, sub, mul, div, larger, smaller] = [
  binary('add'),
  binary('sub'),
  binary('mul'),
  binary('div'),
  binary('max'),
  binary('min'),
]

const total = (parts: readonly Expr[]): Expr => parts.reduce(add)

/** `value` where a stage has propellant, else `no`. */
function loaded(stage: StageModel, value: Expr, no: Expr): Expr {
  return { op: 'if', test: { op: 'gt', a: stage.propellantMass, b: constant(0) }, yes: value, no }
}

/** All that a stage lifts at its ignition: itself and what stands on it. */
function massFrom({ stages }: FlightModel, stage: number): Expr {
  return total(stages.slice(stage).map(each => add(each.dryMass, each.propellantMass)))
}

/** The propellant that burns: all of it, unless the thrust curve ends before. */
function burnt(stage: StageModel): Expr {
  const { shape, propellantMass, vacuumThrust, exhaustSpeed } = stage
  if (!shape) return propellantMass
  const whole = impulseOf(shape, shape.knots[shape.knots.length - 1]!)
  return smaller(propellantMass, div(mul(vacuumThrust, constant(whole)), exhaustSpeed))
}

/** Thrust on the pad, as a share of the stage's shape [N]. */
function padThrust(flight: FlightModel, stage: StageModel, share: number): Expr {
  const pressure: Expr = { op: 'air', property: 'pressure', body: flight.body, a: flight.launchAltitude }
  const lost = mul(sub(stage.vacuumThrust, stage.seaLevelThrust), div(pressure, constant(REFERENCE_PRESSURE)))
  const full = mul(stage.throttleCap, larger(sub(stage.vacuumThrust, lost), constant(0)))
  return share === 1 ? full : mul(constant(share), full)
}

function padGravity(flight: FlightModel): Expr {
  return { op: 'air', property: 'gravity', body: flight.body, a: flight.launchAltitude }
}

/** Thrust over weight at a stage's ignition, at the launch site's pressure and gravity. */
function liftoffRatio(flight: FlightModel, index: number): Expr {
  const stage = flight.stages[index]!
  const share = stage.shape ? stage.shape.coefficients[0]! : 1
  return div(padThrust(flight, stage, share), mul(massFrom(flight, index), padGravity(flight)))
}

function idealDeltaV(flight: FlightModel, index: number): Expr {
  const stage = flight.stages[index]!
  const full = massFrom(flight, index)
  // Of one stage alone what is left is its dry mass, without a difference of near numbers.
  const alone = flight.stages.length === 1 && !stage.shape
  const ratio = div(full, alone ? stage.dryMass : sub(full, burnt(stage)))
  return mul(stage.exhaustSpeed, { op: 'ln', a: ratio })
}

/**
 * The figures of a flight that are plain algebra of its slots, in SI, so that narrowing runs through them both ways.
 * 'pad ratio' is the largest thrust over weight before burnout on the pad: above 1 the flight lifts.
 */
export function algebraicFigures(flight: FlightModel): ReadonlyMap<string, Expr> {
  const { stages } = flight
  const full = massFrom(flight, 0)
  const dry = total(stages.map(stage => stage.dryMass))
  // The first stage with propellant lifts off; empty ones below it fall away at its ignition.
  const first = (of: (index: number) => Expr): Expr =>
    stages.reduceRight<Expr>((no, stage, index) => loaded(stage, of(index), no), constant(0))
  const figures = new Map<string, Expr>([
    ['liftoff mass', full],
    ['mass ratio', div(full, dry)],
    ['propellant fraction', div(total(stages.map(stage => stage.propellantMass)), full)],
    ['total impulse', total(stages.map(stage => mul(burnt(stage), stage.exhaustSpeed)))],
    ['ideal delta v', total(stages.map((_, index) => idealDeltaV(flight, index)))],
    ['liftoff ratio', first(index => liftoffRatio(flight, index))],
    [
      'pad ratio',
      first(index => {
        const stage = stages[index]!
        const left = stages.length === 1 ? stage.dryMass : sub(massFrom(flight, index), stage.propellantMass)
        return div(padThrust(flight, stage, 1), mul(left, padGravity(flight)))
      }),
    ],
  ])
  const [only] = stages
  // Straight up a burn ends before the ground; a flight that leans may end first, and then there is none.
  const upright = !flight.railElevation && !flight.pitch
  if (stages.length === 1 && !only!.shape && upright) figures.set('burn time', burnTime(only!))
  return figures
}

function burnTime(stage: StageModel): Expr {
  const { propellantMass, exhaustSpeed, throttleCap, vacuumThrust } = stage
  return loaded(stage, div(mul(propellantMass, exhaustSpeed), mul(throttleCap, vacuumThrust)), constant(0))
}

/** The same of one stage: of all that it lifts, itself and what stands on it. */
export function stageFigures(flight: FlightModel, index: number): ReadonlyMap<string, Expr> {
  const stage = flight.stages[index]!
  const full = massFrom(flight, index)
  return new Map([
    ['liftoff mass', full],
    ['mass ratio', div(full, sub(full, burnt(stage)))],
    ['propellant fraction', div(stage.propellantMass, full)],
    ['total impulse', mul(burnt(stage), stage.exhaustSpeed)],
    ['ideal delta v', idealDeltaV(flight, index)],
    ['liftoff ratio', loaded(stage, liftoffRatio(flight, index), constant(0))],
  ])
}
