import { EARTH } from '../../solver/flight/index.ts'
import type { Plan } from '../../solver/flight/plan.ts'
import { us76 } from '../../solver/flight/us76.ts'

const G0 = 9.80665

// Dormand & Prince, J. Comput. Appl. Math. 6 (1980): 5(4), seven stages, first same as last.
const A = [
  [],
  [1 / 5],
  [3 / 40, 9 / 40],
  [44 / 45, -56 / 15, 32 / 9],
  [19372 / 6561, -25360 / 2187, 64448 / 6561, -212 / 729],
  [9017 / 3168, -355 / 33, 46732 / 5247, 49 / 176, -5103 / 18656],
  [35 / 384, 0, 500 / 1113, 125 / 192, -2187 / 6784, 11 / 84],
] as const
const C = [0, 1 / 5, 3 / 10, 4 / 5, 8 / 9, 1, 1] as const
const E = [71 / 57600, 0, -71 / 16695, 71 / 1920, -17253 / 339200, 22 / 525, -1 / 40] as const

/** A yardstick: the same equations by the formulas of the air, no peaks, no losses, restarted at burnout only. Gives the apoapsis [m]. */
export function bareFlight({ stages }: Plan): number {
  const { dryMass, propellantMass, vacuumThrust, seaLevelThrust, exhaustSpeed, throttleCap, referenceArea } = stages[0]!
  const flow = (throttleCap * vacuumThrust) / exhaustSpeed
  const burn = propellantMass / flow
  const drag = (referenceArea * 0.42) / 2
  const rate = (t: number, h: number, v: number): number => {
    const burning = t < burn
    const air = us76(Math.min(h, 86000))
    const thrust = burning
      ? throttleCap * (vacuumThrust - ((vacuumThrust - seaLevelThrust) * air.pressure) / 101325)
      : 0
    const mass = dryMass + (burning ? propellantMass - flow * t : 0)
    const density = h < 86000 ? air.density : 0
    const y = EARTH.radius / (EARTH.radius + h)
    return (thrust - density * drag * v * Math.abs(v)) / mass - G0 * y * y
  }
  let [t, h, v, step] = [0, 0, 0, 0.1]
  const kh = new Float64Array(7)
  const kv = new Float64Array(7)
  for (let n = 0; n < 5000 && (v > 0 || t < burn); n++) {
    if (t < burn && t + step > burn) step = burn - t
    for (let s = 0; s < 7; s++) {
      let [dh, dv] = [0, 0]
      for (let j = 0; j < s; j++) {
        dh += A[s]![j]! * kh[j]!
        dv += A[s]![j]! * kv[j]!
      }
      kh[s] = v + step * dv
      kv[s] = rate(t < burn ? Math.min(t + C[s]! * step, burn - 1e-12) : t + C[s]! * step, h + step * dh, v + step * dv)
    }
    let [eh, ev, nh, nv] = [0, 0, h, v]
    for (let s = 0; s < 7; s++) {
      eh += E[s]! * kh[s]! * step
      ev += E[s]! * kv[s]! * step
      if (s < 6) {
        nh += step * A[6]![s]! * kh[s]!
        nv += step * A[6]![s]! * kv[s]!
      }
    }
    const error = Math.max(Math.abs(eh) / (1e-9 * (Math.abs(nh) + 100)), Math.abs(ev) / (1e-9 * (Math.abs(nv) + 10)))
    if (error <= 1) {
      t = Math.abs(t + step - burn) < 1e-12 * burn ? burn : t + step
      h = nh
      v = nv
    }
    step *= Math.min(5, Math.max(0.2, 0.9 * error ** -0.2))
  }
  return h
}
