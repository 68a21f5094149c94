/** A point of a coast straight up without air: time since its beginning [s], distance from the body's centre [m], speed [m/s]. */
export interface OrbitPoint {
  readonly time: number
  readonly distance: number
  readonly speed: number
}

/** Nodes and weights of Gauss and Legendre's five-point rule on 0…1 (Abramowitz & Stegun, table 25.4). */
const GAUSS_NODES = [0.04691007703066802, 0.23076534494715845, 0.5, 0.7692346550528415, 0.953089922969332]
const GAUSS_WEIGHTS = [
  0.11846344252809454, 0.23931433524968324, 0.28444444444444444, 0.23931433524968324, 0.11846344252809454,
]

/**
 * From distance r [m] and speed v [m/s] up to the apoapsis, points at most `spacing` [s] apart and those at the wanted distances.
 * With 1/r_apo = (1 − w)/r, w = v² r / 2μ, and r = r_apo cos²(ψ/2), the time left is √(a³/μ)(ψ + sin ψ), a = r_apo / 2.
 */
export function riseToApoapsis(
  mu: number,
  r: number,
  v: number,
  spacing: number,
  wanted: readonly number[],
): OrbitPoint[] {
  const share = (v * v * r) / (2 * mu)
  const apoapsis = r / (1 - share)
  const period = Math.sqrt((apoapsis / 2 / mu) * (apoapsis / 2) ** 2)
  const begin = 2 * Math.asin(Math.sqrt(share))
  const count = Math.ceil((2 * period * begin) / spacing)
  const places = Array.from({ length: count }, (_, k) => (begin * (count - k)) / count)
  const extra = wanted
    .filter(distance => distance > r && distance < apoapsis)
    .map(distance => 2 * Math.asin(Math.sqrt(1 - distance / apoapsis)))
  const total = period * (begin + Math.sin(begin))
  return [...places, ...extra, 0]
    .sort((a, b) => b - a)
    .map(psi => ({
      time: total - period * (psi + Math.sin(psi)),
      distance: apoapsis * Math.cos(psi / 2) ** 2,
      speed: Math.sqrt((2 * mu) / apoapsis) * Math.tan(psi / 2),
    }))
}

/** From distance r up to `last` at a speed that carries it there, in `count` steps of equal ratio; times by quadrature of dr / v. */
export function riseTo(
  mu: number,
  r: number,
  v: number,
  last: number,
  count: number,
  wanted: readonly number[],
): OrbitPoint[] {
  const speedAt = (distance: number): number => Math.sqrt(Math.max(0, v * v + 2 * mu * (1 / distance - 1 / r)))
  const places = Array.from({ length: count + 1 }, (_, k) => r * (last / r) ** (k / count))
  const all = [...places, ...wanted.filter(distance => distance > r && distance < last)].sort((a, b) => a - b)
  let time = 0
  return all.map((distance, k) => {
    const before = k === 0 ? distance : all[k - 1]!
    GAUSS_NODES.forEach((node, j) => {
      time += ((distance - before) * GAUSS_WEIGHTS[j]!) / speedAt(before + node * (distance - before))
    })
    return { time, distance, speed: speedAt(distance) }
  })
}
