/** A number with its slopes by distance, upward and horizontal speed where a coast began. */
interface Dual {
  readonly v: number
  readonly d: readonly [number, number, number]
}

const dual = (v: number, r = 0, u = 0, w = 0): Dual => ({ v, d: [r, u, w] })
const join = (v: number, a: Dual, ka: number, b: Dual, kb: number): Dual => ({
  v,
  d: [ka * a.d[0] + kb * b.d[0], ka * a.d[1] + kb * b.d[1], ka * a.d[2] + kb * b.d[2]],
})
const add = (a: Dual, b: Dual): Dual => join(a.v + b.v, a, 1, b, 1)
const sub = (a: Dual, b: Dual): Dual => join(a.v - b.v, a, 1, b, -1)
const mul = (a: Dual, b: Dual): Dual => join(a.v * b.v, a, b.v, b, a.v)
const div = (a: Dual, b: Dual): Dual => join(a.v / b.v, a, 1 / b.v, b, -a.v / (b.v * b.v))
const scale = (a: Dual, k: number): Dual => join(k * a.v, a, k, a, 0)
const root = (a: Dual): Dual => {
  const v = Math.sqrt(Math.max(0, a.v))
  return join(v, a, v > 0 ? 0.5 / v : 0, a, 0)
}
const arc = (y: Dual, x: Dual): Dual => {
  const size = x.v * x.v + y.v * y.v
  return join(Math.atan2(y.v, x.v), y, size > 0 ? x.v / size : 0, x, size > 0 ? -y.v / size : 0)
}
const sine = (a: Dual): Dual => join(Math.sin(a.v), a, Math.cos(a.v), a, 0)
const cosine = (a: Dual): Dual => join(Math.cos(a.v), a, -Math.sin(a.v), a, 0)

/** A coast without air and thrust, in closed form: each with slopes by [distance r, upward speed u, horizontal speed w] at its beginning. */
export interface Leg {
  readonly time: Dual
  readonly angle: Dual
  readonly distance: Dual
  readonly up: Dual
  readonly side: Dual
}

/** The orbit through a point: 1/r of its apoapsis, smooth through escape and below 0 beyond it: −2E / (μ + √(μ² + 2 E L²)); and its periapsis [m]. */
export interface Orbit {
  readonly energy: number
  readonly momentum: number
  readonly farness: Dual
  readonly periapsis: Dual
}

export function orbitOf(mu: number, r0: number, u0: number, w0: number): Orbit {
  const { energy, momentum } = constants(mu, r0, u0, w0)
  const under = root(add(dual(mu * mu), mul(scale(energy, 2), mul(momentum, momentum))))
  const sum = add(dual(mu), under)
  return {
    energy: energy.v,
    momentum: momentum.v,
    farness: div(scale(energy, -2), sum),
    // r_p = L² / (μ + √(μ² + 2 E L²)), without a difference of near numbers.
    periapsis: div(mul(momentum, momentum), sum),
  }
}

function constants(mu: number, r0: number, u0: number, w0: number) {
  const r = dual(r0, 1)
  const u = dual(u0, 0, 1)
  const w = dual(w0, 0, 0, 1)
  const energy = sub(scale(add(mul(u, u), mul(w, w)), 0.5), div(dual(mu), r))
  return { r, u, w, energy, momentum: mul(r, w) }
}

/**
 * From distance r0 with speeds u0, w0 to the apoapsis (`target` null), or to distance `target` rising or falling. The orbit must be closed and
 * reach it. With ψ the eccentric anomaly from the apoapsis, e sin ψ = −r u/√(μ a), e cos ψ = r/a − 1, the time since apoapsis is
 * √(a³/μ)(ψ + e sin ψ), which loses no digits near it; straight up e = 1.
 */
export function coastTo(mu: number, r0: number, u0: number, w0: number, target: number | null, falling: boolean): Leg {
  const { r, u, energy, momentum } = constants(mu, r0, u0, w0)
  const a = scale(div(dual(mu), energy), -0.5)
  const pace = root(scale(a, mu))
  const sin0 = scale(div(mul(r, u), pace), -1)
  const cos0 = sub(div(r, a), dual(1))
  const e = root(add(mul(sin0, sin0), mul(cos0, cos0)))
  const flatness = div(momentum, pace)
  const rate = div(mul(a, pace), dual(mu))
  const begin = arc(sin0, cos0)
  let distance: Dual
  let up: Dual
  let end: Dual
  let sin1: Dual
  if (target === null) {
    // r_a = a (1 + e), by the smooth form.
    distance = div(dual(1), orbitOf(mu, r0, u0, w0).farness)
    up = dual(0)
    end = dual(0)
    sin1 = dual(0)
  } else {
    distance = dual(target)
    const across = div(momentum, distance)
    const square = sub(add(scale(energy, 2), dual((2 * mu) / target)), mul(across, across))
    up = scale(root(square), falling ? -1 : 1)
    sin1 = scale(div(mul(distance, up), pace), -1)
    end = arc(sin1, sub(div(distance, a), dual(1)))
  }
  const time = mul(rate, sub(add(end, sin1), add(begin, sin0)))
  const angle = sub(anomaly(end, e, flatness), anomaly(begin, e, flatness))
  return { time, angle, distance, up, side: div(momentum, distance) }
}

/** Angle about the centre from the apoapsis. */
function anomaly(psi: Dual, e: Dual, flatness: Dual): Dual {
  return arc(mul(flatness, sine(psi)), add(cosine(psi), e))
}
