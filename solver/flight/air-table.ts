import { curveAt, curveSlope, pchip } from '../model/curve.ts'
import type { Curve } from '../model/expr.ts'
import type { AirTable } from '../model/model.ts'
import { GAUSS } from './gauss.ts'
import type { ProfileAir } from './plan.ts'
import { profileOf } from './profile.ts'
import type { AirState } from './us76.ts'

const HEAT_RATIO = 1.4 // of a gas of two-atom molecules

/** What is wrong with rows of air, or null: some columns determine the others only together, and none of them may be 0. */
export function airTableFault({ temperature, pressure, density }: AirTable): string | null {
  if (!pressure && !density) return 'the air table tells neither pressure nor density'
  for (const [name, column] of [
    ['temperature', temperature],
    ['pressure', pressure],
    ['density', density],
  ] as const)
    if (column?.some(value => !(value > 0))) return `the air table has a ${name} that is not above zero`
  return null
}

/** The air laid out last by each table: to lay it out costs as much as some flights. */
const laidOut = new WeakMap<AirTable, { readonly key: string; readonly air: ProfileAir }>()

/**
 * Air by a table over a body of this radius [m] and surface gravity [m/s2]: ln p and ln ρ (and T) by shape-preserving cubics between the rows, none above the last.
 * A missing column follows from the others: by the gas law, its constant from hydrostatic balance over the whole table, or by that balance row by
 * row. Sound speed: `sound` where it is given (above zero), else √(1.4 p/ρ).
 */
export function airByTable(rows: AirTable, radius: number, gravity: number, sound: number): ProfileAir {
  const given = sound > 0 ? sound : Number.NaN
  const key = `${radius} ${gravity} ${given}`
  const last = laidOut.get(rows)
  if (last?.key === key) return last.air
  const air = build(rows, radius, gravity, given)
  laidOut.set(rows, { key, air })
  return air
}

function build(rows: AirTable, radius: number, gravity: number, sound: number): ProfileAir {
  const { altitude } = rows
  const pull = altitude.map(h => gravity * (radius / (radius + h)) ** 2)
  const { pressure, density, temperature } = completed(rows, pull)
  const logPressure = pchip(altitude, pressure.map(Math.log))
  const logDensity = pchip(altitude, density.map(Math.log))
  const warmth = temperature && pchip(altitude, temperature)
  const state = (h: number): AirState => {
    const [p, rho] = [Math.exp(curveAt(logPressure, h)), Math.exp(curveAt(logDensity, h))]
    const soundSpeed = sound > 0 ? sound : Math.sqrt((HEAT_RATIO * p) / rho)
    return { temperature: warmth ? curveAt(warmth, h) : Number.NaN, pressure: p, density: rho, soundSpeed }
  }
  const stretches = Array.from({ length: altitude.length - 1 }, (_, k) => ({
    bottom: altitude[k]!,
    top: altitude[k + 1]!,
    bends: true,
    state,
  }))
  const top = altitude[altitude.length - 1]!
  return {
    kind: 'profile',
    profile: profileOf(stretches),
    floor: altitude[0]!,
    top,
    space: top,
    tellsSound: true,
    turns: Array.from(altitude),
    state,
    slope: h => slopeAt(state(h), h, { logPressure, logDensity, warmth }, sound),
  }
}

interface Curves {
  readonly logPressure: Curve
  readonly logDensity: Curve
  readonly warmth: Curve | null
}

function slopeAt(state: AirState, h: number, { logPressure, logDensity, warmth }: Curves, sound: number): AirState {
  const [p, rho] = [curveSlope(logPressure, h), curveSlope(logDensity, h)]
  return {
    temperature: warmth ? curveSlope(warmth, h) : Number.NaN,
    pressure: state.pressure * p,
    density: state.density * rho,
    soundSpeed: sound > 0 ? 0 : 0.5 * state.soundSpeed * (p - rho),
  }
}

interface Columns {
  readonly pressure: Float64Array
  readonly density: Float64Array
  readonly temperature: Float64Array | null
}

function completed({ altitude, temperature, pressure, density }: AirTable, pull: Float64Array): Columns {
  const count = altitude.length
  if (pressure && density) return { pressure, density, temperature }
  if (temperature) {
    // ln p (or ln ρ + ln T) falls by ∫ g/(R T) dh over the table.
    const weight = integral(
      altitude,
      temperature.map((t, k) => pull[k]! / t),
    )
    const given = (pressure ?? density)!
    const warmer = pressure ? 0 : Math.log(temperature[0]! / temperature[count - 1]!)
    const gas = weight / (Math.log(given[0]! / given[count - 1]!) + warmer)
    if (pressure) return { pressure, density: pressure.map((p, k) => p / (gas * temperature[k]!)), temperature }
    return { pressure: density!.map((rho, k) => rho * gas * temperature[k]!), density: density!, temperature }
  }
  if (pressure) {
    const log = pchip(altitude, pressure.map(Math.log))
    const steep = altitude.map((h, k) => (k + 1 < count ? curveSlope(log, h) : endSlope(log)))
    return { pressure, density: pressure.map((p, k) => (-p * steep[k]!) / pull[k]!), temperature }
  }
  const log = pchip(altitude, density!.map(Math.log))
  // Above the last row the density is taken to fall on as it does there.
  const above = (density![count - 1]! * pull[count - 1]!) / -endSlope(log)
  const weighed = new Float64Array(count)
  weighed[count - 1] = above
  for (let k = count - 2; k >= 0; k--) {
    const [a, b] = [altitude[k]!, altitude[k + 1]!]
    let layer = 0
    for (const [node, share] of GAUSS) {
      const h = a + node * (b - a)
      const g = pull[k]! + node * (pull[k + 1]! - pull[k]!)
      layer += share * (b - a) * Math.exp(curveAt(log, h)) * g
    }
    weighed[k] = weighed[k + 1]! + layer
  }
  return { pressure: weighed, density: density!, temperature }
}

function integral(x: Float64Array, y: Float64Array): number {
  const curve = pchip(x, y)
  let sum = 0
  for (let k = 0; k + 1 < x.length; k++)
    for (const [node, share] of GAUSS) {
      const width = x[k + 1]! - x[k]!
      sum += share * width * curveAt(curve, x[k]! + node * width)
    }
  return sum
}

function endSlope(curve: Curve): number {
  const last = curve.knots[curve.knots.length - 1]!
  return curveSlope(curve, last - 1e-6 * (last - curve.knots[0]!))
}
