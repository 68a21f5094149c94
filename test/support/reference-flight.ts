import type { FlownName, Plan } from '../../solver/flight/plan.ts'
import { Solver } from './odex.ts'
import { type Stretch, stretches } from './reference-air.ts'

// The flight of design section 4, one stage straight up, written a second time for the tests: the equations apart from the
// program's, the integration by odex at 1e-13 in short pieces, each event and peak found by integrating anew up to it.

type State = number[]
type Figures = Partial<Record<FlownName, number>> & { outcome: string }

interface Regime {
  burning: boolean
  /** Stretch of air; past the last: none. */
  layer: number
  /** Piece of the drag curve: −1 below its first knot. */
  piece: number
}

/** Flies a plan; `upper` says whether there is air above 86 km on Earth. */
export function referenceFlight(plan: Plan, upper = true): Figures {
  return new Reference(plan, upper).fly()
}

class Reference {
  private readonly plan: Plan
  private readonly layers: Stretch[]
  private readonly figures: Figures = { outcome: 'comes down' }
  private mass0 = 0
  private burn = 0
  private hold = 0

  constructor(plan: Plan, upper: boolean) {
    this.plan = plan
    this.layers = stretches(plan, upper)
  }

  fly(): Figures {
    const { plan, figures } = this
    const stage = plan.stages[0]!
    const h0 = plan.launchAltitude
    const flow = this.flow()
    const regime: Regime = { burning: true, layer: this.layers.findIndex(layer => h0 < layer.top), piece: -1 }
    if (regime.layer < 0) regime.layer = this.layers.length
    const [p] = this.air(regime, h0)
    const thrust = Math.max(0, this.thrust(p))
    const weight = this.gravity(h0) * (stage.dryMass + stage.propellantMass)
    this.mass0 = stage.dryMass + stage.propellantMass
    if (thrust <= weight) {
      this.mass0 = thrust / this.gravity(h0)
      this.hold = (stage.dryMass + stage.propellantMass - this.mass0) / flow
    }
    this.burn = (this.mass0 - stage.dryMass) / flow
    if (!(this.burn > 0) || !(stage.propellantMass > 0)) {
      figures.outcome = 'never leaves the pad'
      return figures
    }
    const stand = Math.log((stage.dryMass + stage.propellantMass) / this.mass0) / flow
    let y: State = [h0, 0, 0, (this.thrust(0) - thrust) * stand, thrust * stand]
    if (this.hold === 0) y = [h0, 0, 0, 0, 0]
    regime.piece = this.pieceFor(0, 1)
    this.note(regime, 0, y)
    let t = 0
    let dt = this.burn / 60
    for (let n = 0; n < 4000; n++) {
      const end = regime.burning ? Math.min(t + dt, this.burn) : t + dt
      const { event, time, state } = this.advance(regime, t, y, end)
      this.peaks(regime, t, y, time)
      t = time
      y = state
      this.note(regime, t, y)
      if (event === 'apoapsis') {
        figures.apoapsis = y[0]!
        figures['apoapsis time'] = t + this.hold
        return figures
      }
      const burnout = regime.burning && t === this.burn && event === null
      if (event === 'edge') regime.layer++
      if (event === 'up') regime.piece++
      if (event === 'down') regime.piece--
      if (burnout) {
        this.burntOut(regime, y)
        regime.burning = false
        // A layer edge met at the same moment.
        while (regime.layer < this.layers.length && y[0]! >= this.layers[regime.layer]!.top) regime.layer++
        dt = y[1]! / this.gravity(y[0]!) / 60
      }
      if (burnout || event === 'edge') regime.piece = this.pieceFor(this.mach(regime, y), this.machRate(regime, t, y))
      if (burnout || event) this.note(regime, t, y)
      if (!regime.burning) {
        dt *= 1.03
        const r = plan.body.radius + y[0]!
        const needed = 2 * plan.body.gravity * plan.body.radius ** 2
        if (regime.layer === this.layers.length && y[1]! ** 2 * r >= needed) {
          figures.outcome = 'escapes'
          return figures
        }
      }
    }
    throw new Error('the reference did not come to an end')
  }

  private flow(): number {
    const stage = this.plan.stages[0]!
    return (stage.throttleCap * stage.vacuumThrust) / stage.exhaustSpeed
  }

  private gravity(h: number): number {
    const { radius, gravity } = this.plan.body
    return (gravity * radius * radius) / (radius + h) / (radius + h)
  }

  private thrust(p: number): number {
    const { throttleCap, vacuumThrust, seaLevelThrust } = this.plan.stages[0]!
    return throttleCap * (vacuumThrust - ((vacuumThrust - seaLevelThrust) * p) / 101325)
  }

  private mass(regime: Regime, t: number): number {
    return regime.burning ? this.mass0 - this.flow() * t : this.plan.stages[0]!.dryMass
  }

  private air(regime: Regime, h: number): readonly [number, number, number] {
    return this.layers[regime.layer]?.air(h) ?? [0, 0, Number.NaN]
  }

  private inAir(regime: Regime): boolean {
    return regime.layer < this.layers.length
  }

  private mach(regime: Regime, y: State): number {
    return Math.abs(y[1]!) / this.air(regime, y[0]!)[2]
  }

  private dragCoefficient(regime: Regime, mach: number): number {
    const { knots, coefficients } = this.plan.stages[0]!.drag
    const last = knots.length - 1
    if (knots.length === 1 || regime.piece < 0) return coefficients[0]!
    const k = Math.min(regime.piece, last - 1)
    const w = (regime.piece === last ? knots[last]! : mach) - knots[k]!
    const c = (j: number): number => coefficients[4 * k + j]!
    return c(0) + c(1) * w + c(2) * w * w + c(3) * w * w * w
  }

  /** Thrust, drag and pressure. */
  private forces(regime: Regime, y: State): [number, number, number] {
    const [p, rho] = this.air(regime, y[0]!)
    const stage = this.plan.stages[0]!
    const mach = stage.drag.knots.length > 1 && this.inAir(regime) ? this.mach(regime, y) : 0
    const area = stage.referenceArea * this.dragCoefficient(regime, mach)
    return [regime.burning ? this.thrust(p) : 0, 0.5 * rho * y[1]! * Math.abs(y[1]!) * area, p]
  }

  private rates(regime: Regime, t: number, y: State): State {
    const [thrust, drag, p] = this.forces(regime, y)
    const m = this.mass(regime, t)
    const g = this.gravity(y[0]!)
    const { throttleCap, vacuumThrust, seaLevelThrust } = this.plan.stages[0]!
    const back = (throttleCap * (vacuumThrust - seaLevelThrust) * p) / 101325
    const losses = regime.burning ? [drag / m, back / m, g] : [0, 0, 0]
    return [y[1]!, (thrust - drag) / m - g, ...losses]
  }

  private integrate(regime: Regime, t: number, y: State, end: number): State {
    if (end === t) return y
    const solver = new Solver(5)
    solver.relativeTolerance = 1e-13
    solver.absoluteTolerance = [1e-10, 1e-12, 1e-12, 1e-12, 1e-12]
    solver.initialStepSize = end - t
    solver.maxSteps = 1000000
    return solver.solve((at, state) => this.rates(regime, at, state), t, [...y], end).y
  }

  /** Distance past each event of a regime; positive: passed. */
  private passed(regime: Regime, y: State): [string, number][] {
    const list: [string, number][] = []
    const layer = this.layers[regime.layer]
    if (layer) list.push(['edge', y[0]! - layer.top])
    if (!regime.burning) list.push(['apoapsis', -y[1]!])
    const { knots } = this.plan.stages[0]!.drag
    if (layer && knots.length > 1) {
      const mach = this.mach(regime, y)
      const above = knots[regime.piece + 1]
      const below = knots[regime.piece]
      if (above !== undefined) list.push(['up', mach - above])
      if (below !== undefined && below > 0) list.push(['down', below - mach])
    }
    return list
  }

  private advance(
    regime: Regime,
    t: number,
    y: State,
    end: number,
  ): { event: string | null; time: number; state: State } {
    const state = this.integrate(regime, t, y, end)
    let best: { event: string | null; time: number; state: State } = { event: null, time: end, state }
    for (const [event, value] of this.passed(regime, state)) {
      const before = this.passed(regime, y).find(([name]) => name === event)![1]
      if (!(value >= 0)) continue
      if (before >= -1e-13) continue
      const pick = (s: State): number => this.passed(regime, s).find(([name]) => name === event)![1]
      const time = illinois(at => pick(this.integrate(regime, t, y, at)), t, end, before, value)
      if (time < best.time || best.event === null) best = { event, time, state: this.integrate(regime, t, y, time) }
    }
    return best
  }

  private watched(regime: Regime, t: number, y: State): [FlownName, number][] {
    const [thrust, drag] = this.forces(regime, y)
    const list: [FlownName, number][] = [
      ['peak g', Math.abs(thrust - drag) / this.mass(regime, t)],
      ['max speed', y[1]!],
    ]
    if (this.inAir(regime)) {
      list.push(['max q', 0.5 * this.air(regime, y[0]!)[1] * y[1]! ** 2])
      if (this.air(regime, y[0]!)[2] > 0) list.push(['max mach', this.mach(regime, y)])
    }
    return list
  }

  private note(regime: Regime, t: number, y: State): void {
    const phase = regime.burning ? 'burning' : 'coasting'
    for (const [name, value] of this.watched(regime, t, y)) {
      const names = name === 'peak g' || name === 'max q' ? [name, `${name} ${phase}` as FlownName] : [name]
      for (const each of names) {
        if (value <= (this.figures[each] ?? -1)) continue
        this.figures[each] = value
        if (each === 'max q') this.figures['max q altitude'] = y[0]!
      }
    }
  }

  /** Where a watched value's rate turns from rising to falling inside a piece, by its central difference over integrations. */
  private peaks(regime: Regime, t: number, y: State, end: number): void {
    const tiny = 1e-4 * (end - t)
    if (!(tiny > 0)) return
    const names = this.watched(regime, t, y).map(([name]) => name)
    names.forEach((name, k) => {
      const value = (at: number): number => this.watched(regime, at, this.integrate(regime, t, y, at))[k]![1]
      const rate = (at: number): number => {
        const s = this.integrate(regime, t, y, at)
        return this.rateOf(regime, name, at, s)
      }
      const begin = rate(t)
      const stop = rate(end)
      if (!(begin > 0 && stop < 0)) return
      const at = illinois(rate, t, end, begin, stop)
      if (value(at) > -1) this.note(regime, at, this.integrate(regime, t, y, at))
    })
  }

  /** Rate of a watched value along the motion: five-point difference of the value over a straight-line state, exact to rounding. */
  private rateOf(regime: Regime, name: FlownName, t: number, y: State): number {
    const d = this.rates(regime, t, y)
    // Along t + s the state is y + s d + s² dd / 2 …: only the first derivative at s = 0 counts, so a straight line will do.
    const step = 1e-3 * Math.min(1, this.burn)
    const value = (s: number): number =>
      this.watched(
        regime,
        t + s,
        y.map((x, k) => x + s * d[k]!),
      ).find(([each]) => each === name)![1]
    return (8 * (value(step) - value(-step)) - (value(2 * step) - value(-2 * step))) / (12 * step)
  }

  private machRate(regime: Regime, t: number, y: State): number {
    if (!this.inAir(regime) || !(this.air(regime, y[0]!)[2] > 0)) return 0
    return this.rateOf(regime, 'max mach', t, y)
  }

  private pieceFor(mach: number, rate: number): number {
    const { knots } = this.plan.stages[0]!.drag
    if (knots.length === 1 || !(mach >= 0)) return -1
    let piece = -1
    while (piece + 1 < knots.length && knots[piece + 1]! <= mach) piece++
    if (rate > 0 && piece + 1 < knots.length && knots[piece + 1]! - mach < 1e-9) piece++
    if (rate < 0 && piece >= 0 && mach - knots[piece]! < 1e-9) piece--
    return piece
  }

  private burntOut(regime: Regime, y: State): void {
    const stage = this.plan.stages[0]!
    this.figures['burnout altitude'] = y[0]!
    this.figures['burnout speed'] = y[1]!
    this.figures['drag loss'] = y[2]!
    this.figures['back pressure loss'] = y[3]!
    this.figures['gravity loss'] = y[4]!
    const thrust = this.thrust(this.air(regime, y[0]!)[0])
    this.figures['burnout ratio'] = thrust / (stage.dryMass * this.plan.body.gravity)
  }
}

/** A root between two places of unlike sign, by false position with Illinois's halving. */
function illinois(f: (x: number) => number, a: number, b: number, fa: number, fb: number): number {
  let side = 0
  for (let i = 0; i < 80; i++) {
    const x = (a * fb - b * fa) / (fb - fa)
    if (Math.abs(b - a) <= 1e-14 * Math.abs(b) || x <= Math.min(a, b) || x >= Math.max(a, b)) return x
    const fx = f(x)
    if (fx === 0) return x
    if (fx > 0 === fb > 0) {
      b = x
      fb = fx
      if (side === -1) fa /= 2
      side = -1
    } else {
      a = x
      fa = fx
      if (side === 1) fb /= 2
      side = 1
    }
  }
  return (a * fb - b * fa) / (fb - fa)
}
