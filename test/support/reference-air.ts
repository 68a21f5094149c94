import type { Plan } from '../../solver/flight/plan.ts'
import { UPPER } from '../../solver/flight/us76-data.ts'
import { curveAt, pchip } from '../../solver/model/curve.ts'

/** Air in one stretch: pressure [Pa], density [kg/m3], sound speed [m/s] over altitude [m], also a little beyond its ends. */
export interface Stretch {
  readonly top: number
  readonly air: (altitude: number) => readonly [number, number, number]
}

const R0 = 6356766
const G0 = 9.80665
const RSTAR = 8314.32
const M0 = 28.9644

/** The layers of the 1976 standard, written here anew from its formulas: base [km'], lapse [K/km']. */
const BASES: readonly (readonly [number, number])[] = [
  [0, -6.5],
  [11, 0],
  [20, 1],
  [32, 2.8],
  [47, 0],
  [51, -2.8],
  [71, -2],
]

/** The stretches of a plan's air from the ground up; above the last there is none. `upper`: with the thin air above 86 km. */
export function stretches(plan: Plan, upper: boolean): Stretch[] {
  const { air } = plan.body
  if (!air) return []
  if (air.kind === 'exponential') {
    const { pressure, density, scaleHeight, soundSpeed, top } = air
    const share = (h: number): number => Math.exp(-h / scaleHeight)
    return [{ top, air: h => [pressure * share(h), density * share(h), soundSpeed] }]
  }
  return upper ? [...lower(), thin()] : lower()
}

function lower(): Stretch[] {
  let temperature = 288.15
  let pressure = 101325
  return BASES.map(([base, lapse], k) => {
    const next = BASES[k + 1]?.[0] ?? 84.852
    const t0 = temperature
    const p0 = pressure
    const at = (km: number): [number, number] => {
      const t = t0 + lapse * (km - base)
      const exponent = (G0 * M0 * 1000) / RSTAR
      const p =
        lapse === 0
          ? p0 * Math.exp((-exponent * (km - base)) / t0)
          : p0 * Math.exp((exponent / lapse) * Math.log(t0 / t))
      return [t, p]
    }
    ;[temperature, pressure] = at(next)
    const top = k === BASES.length - 1 ? 86000 : (R0 * next) / (R0 / 1000 - next)
    return {
      top,
      air: h => {
        const [t, p] = at((R0 * h) / (R0 + h) / 1000)
        return [p, (p * M0) / (RSTAR * t), Math.sqrt((1.4 * RSTAR * t) / M0)]
      },
    }
  })
}

function thin(): Stretch {
  const z = UPPER.map(([km]) => 1000 * km)
  const p = pchip(
    z,
    UPPER.map(([, pressure]) => Math.log(pressure)),
  )
  const rho = pchip(
    z,
    UPPER.map(([, , density]) => Math.log(density)),
  )
  const sound = Math.sqrt((1.4 * RSTAR * (214.65 - 2 * ((R0 * 86000) / (R0 + 86000) / 1000 - 71))) / M0)
  return { top: 1e6, air: h => [Math.exp(curveAt(p, h)), Math.exp(curveAt(rho, h)), sound] }
}
