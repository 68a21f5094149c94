import type { Expr, FlightModel } from '../../solver/index.ts'
import { constant } from './checked.ts'

const REFERENCE_PRESSURE = 101325 // Pa, at which "sea level thrust" is told

const binary =
  (op: 'add' | 'sub' | 'mul' | 'div' | 'max') =>
  (a: Expr, b: Expr): Expr => ({ op, a, b })
const [add, sub, mul, div, larger] = [binary('add'), binary('sub'), binary('mul'), binary('div'), binary('max')]

/**
 * The figures of a flight that are plain algebra of its slots, in SI, so that narrowing runs through them both ways.
 * 'pad ratio' is the largest thrust over weight before burnout on the pad: above 1 the flight lifts.
 */
export function algebraicFigures(flight: FlightModel): ReadonlyMap<string, Expr> {
  const stage = flight.stages[0]!
  const full = add(stage.dryMass, stage.propellantMass)
  const pressure: Expr = { op: 'air', property: 'pressure', body: flight.body, a: flight.launchAltitude }
  const gravity: Expr = { op: 'air', property: 'gravity', body: flight.body, a: flight.launchAltitude }
  const lost = mul(sub(stage.vacuumThrust, stage.seaLevelThrust), div(pressure, constant(REFERENCE_PRESSURE)))
  const thrust = mul(stage.throttleCap, larger(sub(stage.vacuumThrust, lost), constant(0)))
  const massRatio = div(full, stage.dryMass)
  const loaded = (value: Expr): Expr => ({
    op: 'if',
    test: { op: 'gt', a: stage.propellantMass, b: constant(0) },
    yes: value,
    no: constant(0),
  })
  return new Map([
    ['liftoff mass', full],
    ['mass ratio', massRatio],
    ['propellant fraction', div(stage.propellantMass, full)],
    ['total impulse', mul(stage.propellantMass, stage.exhaustSpeed)],
    ['ideal delta v', mul(stage.exhaustSpeed, { op: 'ln', a: massRatio })],
    ['liftoff ratio', loaded(div(thrust, mul(full, gravity)))],
    [
      'burn time',
      loaded(div(mul(stage.propellantMass, stage.exhaustSpeed), mul(stage.throttleCap, stage.vacuumThrust))),
    ],
    ['pad ratio', loaded(div(thrust, mul(stage.dryMass, gravity)))],
  ])
}
