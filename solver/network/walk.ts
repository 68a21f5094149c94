import type { Expr, Id, Test } from '../model/expr.ts'
import type { BodyModel, FlightModel, Model, Target } from '../model/model.ts'

/** Puts the expressions directly under one on a stack, its test's sides included. */
function pushParts(expr: Expr, stack: Expr[]): void {
  switch (expr.op) {
    case 'const':
    case 'ref':
    case 'local':
      return
    case 'if':
      stack.push(...sides(expr.test), expr.yes, expr.no)
      return
    case 'add':
    case 'sub':
    case 'mul':
    case 'div':
    case 'pow':
    case 'min':
    case 'max':
      stack.push(expr.a, expr.b)
      return
    default:
      stack.push(expr.a)
  }
}

function sides(test: Test): readonly Expr[] {
  switch (test.op) {
    case 'and':
    case 'or':
      return [...sides(test.a), ...sides(test.b)]
    case 'not':
      return sides(test.a)
    default:
      return [test.a, test.b]
  }
}

/** Calls `see` for every quantity that the expressions read, air of a body included, each as often as it stands there. */
export function eachReference(model: Model, roots: readonly Expr[], see: (id: Id) => void): void {
  const stack = [...roots]
  for (let expr = stack.pop(); expr; expr = stack.pop()) {
    if (expr.op === 'ref') see(expr.id)
    else if (expr.op !== 'const' && expr.op !== 'local') {
      if (expr.op === 'air') stack.push(...bodyExpressions(model.bodies[expr.body]!))
      pushParts(expr, stack)
    }
  }
}

/** All expressions that make a body. */
export function bodyExpressions(body: BodyModel): readonly Expr[] {
  if (body.kind === 'earth') return body.warmth ? [body.warmth] : []
  if (body.kind !== 'own') return []
  const all: (Expr | null)[] = [body.radius, body.gravity, body.space, body.heating ?? null, body.tableSound ?? null]
  if (body.air) {
    const { pressure, density, scaleHeight, soundSpeed, top } = body.air
    all.push(pressure, density, scaleHeight, soundSpeed, top)
  }
  return all.filter(expr => expr !== null)
}

/** All expressions that feed a flight, its body's included. */
export function flightExpressions(model: Model, flight: FlightModel): readonly Expr[] {
  const all: Expr[] = [flight.launchAltitude, ...bodyExpressions(model.bodies[flight.body]!)]
  for (const stage of flight.stages) {
    all.push(stage.dryMass, stage.propellantMass, stage.vacuumThrust, stage.seaLevelThrust)
    all.push(stage.exhaustSpeed, stage.throttleCap, stage.referenceArea, stage.dragCoefficient)
    all.push(...given(stage.separationDelay, stage.ignitionDelay))
  }
  all.push(...given(flight.railElevation, flight.railLength, flight.noseRadius))
  for (const { area, altitude, fillTime, safeQ, safeSpeed } of flight.parachutes ?? [])
    all.push(area, altitude, fillTime, ...given(safeQ, safeSpeed))
  return all
}

function given(...expressions: readonly (Expr | null | undefined)[]): readonly Expr[] {
  return expressions.filter(expr => expr !== null && expr !== undefined)
}

/** The expressions of a target: its value and its limits. */
export function targetExpressions(target: Target): readonly Expr[] {
  const { limit } = target
  switch (limit.kind) {
    case 'within':
      return [target.value, limit.from, limit.to]
    case 'equal to':
      return limit.tolerance ? [target.value, limit.value, limit.tolerance] : [target.value, limit.value]
    default:
      return [target.value, limit.value]
  }
}
