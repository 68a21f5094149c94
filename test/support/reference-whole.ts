import type { WholePlan } from '../../solver/flight/whole/plan.ts'
import { curveAt } from '../../solver/model/curve.ts'
import { Solver } from './odex.ts'
import { stretches } from './reference-air.ts'

// A whole flight written a second time for the tests, in other coordinates: x and y about the body's centre, integrated by odex
// at 1e-12 in pieces between events, each found by integrating anew up to it. Peaks are sought on fine samples.

/** x, y [m], their rates [m/s], mass [kg]. */
type State = number[]

interface Regime {
  burning: number
  lowest: number
  mass: number
  onRail: boolean
  /** Area × coefficient of the canopies over time. */
  canopy: (t: number) => number
  ignition: number
  layer: number
}

/** The figures of a whole flight by name; those of parachute k end in its number. */
export function referenceWhole(plan: WholePlan): Record<string, number> {
  return new Reference(plan).fly()
}

class Reference {
  private readonly plan: WholePlan
  private readonly figures: Record<string, number> = {}
  private readonly layers: ReturnType<typeof stretches>
  private felt = 0
  private window: 'ascent' | 'entry' | string = 'ascent'

  constructor(plan: WholePlan) {
    this.plan = plan
    this.layers = stretches({ ...plan, restarts: plan.restarts[0]! }, true)
  }

  fly(): Record<string, number> {
    const { plan, figures } = this
    const { radius } = plan.body
    const h0 = plan.launchAltitude
    const s = Math.sin(plan.railElevation)
    const full = plan.stages.reduce((m, stage) => m + stage.dryMass + stage.propellantMass, 0)
    const regime: Regime = {
      burning: 0,
      lowest: 0,
      mass: full,
      onRail: plan.railLength > 0,
      canopy: () => 0,
      ignition: 0,
      layer: 0,
    }
    // Off a rail of this length from rest; the start is at the top of the circle.
    let y: State = [0, radius + h0, 0, 0, full]
    let t = 0
    this.regime(regime, y)
    if (regime.onRail) {
      const end = h0 + plan.railLength * s
      ;[t, y] = this.until(regime, t, y, 1e3, state => this.altitude(state) - end)
      figures['rail exit speed'] = this.speed(y)
      regime.onRail = false
    }
    let opened = -1
    let fallen = false
    const burnTimes = plan.stages.map((_, k) => this.burnTime(k))
    // What comes by the clock, in order.
    const clock: { at: number; act: () => void }[] = []
    let now = 0
    plan.stages.forEach((stage, k) => {
      if (!(stage.propellantMass > 0)) return
      const ignition = now + (k > 0 ? stage.ignitionDelay : 0)
      if (k > 0)
        clock.push({
          at: ignition,
          act: () => {
            regime.burning = k
            regime.ignition = ignition
          },
        })
      const out = ignition + burnTimes[k]!
      clock.push({
        at: out,
        act: () => {
          figures['burnout altitude'] = this.altitude(y)
          figures['burnout speed'] = this.speed(y)
          regime.burning = -1
        },
      })
      now = out + stage.separationDelay
      if (k + 1 < plan.stages.length)
        clock.push({
          at: now,
          act: () => {
            y[4]! -= stage.dryMass
            regime.lowest = k + 1
          },
        })
    })
    for (let guard = 0; guard < 20000; guard++) {
      const next = clock[0]
      const steps = fallen ? 0.5 : 1
      const end = next ? Math.min(next.at, t + steps) : t + steps
      const before = { t, y }
      const events: [string, (state: State, time: number) => number][] = [
        ['ground', state => h0 - this.altitude(state)],
      ]
      if (!fallen) events.push(['apoapsis', state => -this.climb(state)])
      const layer = this.layers[regime.layer]
      if (layer) events.push(['up', state => this.altitude(state) - layer.top])
      const under = this.layers[regime.layer - 1]
      if (under) events.push(['down', state => under.top - this.altitude(state)])
      const canopy = plan.canopies[opened + 1]
      if (canopy && fallen && clock.length === 0)
        events.push([
          'open',
          state =>
            Math.min(
              canopy.altitude - this.altitude(state),
              canopy.safeQ < 1e9 ? canopy.safeQ - this.q(regime, state) : Number.POSITIVE_INFINITY,
              canopy.safeSpeed < 1e9 ? canopy.safeSpeed - this.speed(state) : Number.POSITIVE_INFINITY,
            ),
        ])
      const found = this.step(regime, t, y, end, events)
      this.sample(regime, before.t, before.y, found.t)
      t = found.t
      y = found.y
      if (found.event === 'ground') {
        figures['touchdown speed'] = this.speed(y)
        figures['flight time'] = t
        figures.downrange = radius * Math.atan2(y[0]!, y[1]!)
        return figures
      }
      if (found.event === 'up') regime.layer++
      if (found.event === 'down') regime.layer--
      if (found.event === 'apoapsis') {
        fallen = true
        figures.apoapsis = this.altitude(y)
        figures['apoapsis time'] = t
        figures['apoapsis speed'] = this.speed(y)
        this.window = 'entry'
      }
      if (found.event === 'open') {
        opened++
        const it = plan.canopies[opened]!
        figures[`opening speed ${opened}`] = this.speed(y)
        figures[`opening q ${opened}`] = this.q(regime, y)
        figures[`opening altitude ${opened}`] = this.altitude(y)
        const [from, at] = [regime.canopy(t), t]
        regime.canopy = time =>
          it.fillTime === 0 || time >= at + it.fillTime
            ? it.area
            : from + ((it.area - from) * (time - at)) / it.fillTime
        if (it.fillTime > 0) clock.push({ at: at + it.fillTime, act: () => {} })
        this.window = `opening g ${opened}`
        this.note(regime, t, y)
      }
      if (next && t === next.at && found.event === null) {
        this.note(regime, t, y)
        clock.shift()
        next.act()
        this.note(regime, t, y)
      }
    }
    throw new Error('the reference did not come to an end')
  }

  /** Until the propellant is spent: for a curve by Simpson's rule between its knots, bisected. */
  private burnTime(k: number): number {
    const { propellantMass, exhaustSpeed, throttleCap, vacuumThrust } = this.plan.stages[k]!
    const shape = this.plan.shapes[k]
    const wanted = (propellantMass * exhaustSpeed) / vacuumThrust
    if (!shape) return wanted / throttleCap
    const impulse = (x: number): number => {
      const knots = [...shape.knots].filter(knot => knot < x)
      let sum = 0
      knots.forEach((from, i) => {
        const to = knots[i + 1] ?? x
        sum += ((to - from) / 6) * (curveAt(shape, from) + 4 * curveAt(shape, (from + to) / 2) + curveAt(shape, to))
      })
      return sum
    }
    let [low, high] = [0, shape.knots[shape.knots.length - 1]!]
    for (let i = 0; i < 100; i++) {
      const middle = 0.5 * (low + high)
      if (impulse(middle) < wanted) low = middle
      else high = middle
    }
    return high / throttleCap
  }

  private regime(regime: Regime, y: State): void {
    regime.layer = this.layers.findIndex(layer => this.altitude(y) < layer.top)
    if (regime.layer < 0) regime.layer = this.layers.length
  }

  private altitude(y: State): number {
    return Math.hypot(y[0]!, y[1]!) - this.plan.body.radius
  }

  private speed(y: State): number {
    return Math.hypot(y[2]!, y[3]!)
  }

  private climb(y: State): number {
    return (y[0]! * y[2]! + y[1]! * y[3]!) / Math.hypot(y[0]!, y[1]!)
  }

  private q(regime: Regime, y: State): number {
    return 0.5 * this.air(regime, y)[1] * this.speed(y) ** 2
  }

  private air(regime: Regime, y: State): readonly [number, number, number] {
    return this.layers[regime.layer]?.air(this.altitude(y)) ?? [0, 0, Number.NaN]
  }

  /** Thrust less drag along the motion [N], and thrust in vacuum. */
  private force(regime: Regime, t: number, y: State): [number, number] {
    const { plan } = this
    const [p, rho, sound] = this.air(regime, y)
    const speed = this.speed(y)
    const stage = plan.stages[regime.lowest]!
    const mach = sound > 0 ? speed / sound : 0
    const area = stage.referenceArea * curveAt(stage.drag, mach) + regime.canopy(t)
    const drag = 0.5 * rho * speed * speed * area
    if (regime.burning < 0) return [-drag, 0]
    const { throttleCap, vacuumThrust, seaLevelThrust } = plan.stages[regime.burning]!
    const shape = plan.shapes[regime.burning]
    const share = shape ? Math.max(0, curveAt(shape, throttleCap * (t - regime.ignition))) : 1
    const vacuum = throttleCap * vacuumThrust * share
    return [Math.max(0, vacuum * (1 - ((1 - seaLevelThrust / vacuumThrust) * p) / 101325)) - drag, vacuum]
  }

  private rates(regime: Regime, t: number, y: State): State {
    const { radius, gravity } = this.plan.body
    const [x, h, vx, vy, m] = y as [number, number, number, number, number]
    const r = Math.hypot(x, h)
    const pull = (gravity * radius * radius) / r ** 3
    const speed = Math.hypot(vx, vy)
    const [force, vacuum] = this.force(regime, t, y)
    const { railElevation, railLength } = this.plan
    // The rail's direction by the local vertical, which is also that of the start.
    const [ex, ey] = [x / r, h / r]
    const [s, c] = [
      Math.sin(railElevation),
      railLength > 0 || railElevation < Math.PI / 2 ? Math.cos(railElevation) : 0,
    ]
    const along = [ex * s + ey * c, ey * s - ex * c]
    const flow = regime.burning < 0 ? 0 : vacuum / this.plan.stages[regime.burning]!.exhaustSpeed
    if (regime.onRail) {
      const a = force / m - pull * r * s
      // It keeps its angle to the local horizontal, which turns as it goes.
      const turn = (speed * c) / r
      return [vx, vy, a * along[0]! + speed * turn * along[1]!, a * along[1]! - speed * turn * along[0]!, -flow]
    }
    const [dx, dy] = speed > 1e-9 ? [vx / speed, vy / speed] : [along[0]!, along[1]!]
    return [vx, vy, (force / m) * dx - pull * x, (force / m) * dy - pull * h, -flow]
  }

  private integrate(regime: Regime, t: number, y: State, end: number): State {
    if (end === t) return y
    const solver = new Solver(5)
    solver.relativeTolerance = 1e-12
    solver.absoluteTolerance = [1e-6, 1e-6, 1e-9, 1e-9, 1e-9]
    solver.initialStepSize = Math.min(end - t, 0.1)
    solver.maxSteps = 1000000
    return solver.solve((at, state) => this.rates(regime, at, state), t, [...y], end).y
  }

  private step(
    regime: Regime,
    t: number,
    y: State,
    end: number,
    events: readonly [string, (state: State, time: number) => number][],
  ): { t: number; y: State; event: string | null } {
    let best: { t: number; y: State; event: string | null } = {
      t: end,
      y: this.integrate(regime, t, y, end),
      event: null,
    }
    for (const [event, gap] of events) {
      if (gap(y, t) >= (event === 'open' ? 0 : -1e-9) && event !== 'open') continue
      if (event === 'open' && gap(y, t) >= 0) return { t, y, event }
      if (!(gap(best.y, best.t) >= 0)) continue
      let [low, high] = [t, best.t]
      for (let i = 0; i < 60 && high - low > 1e-12 * Math.max(1, high); i++) {
        const middle = 0.5 * (low + high)
        if (gap(this.integrate(regime, t, y, middle), middle) >= 0) high = middle
        else low = middle
      }
      best = { t: high, y: this.integrate(regime, t, y, high), event }
    }
    return best
  }

  private until(regime: Regime, t: number, y: State, most: number, gap: (state: State) => number): [number, State] {
    const found = this.step(regime, t, y, t + Math.min(most, 20), [['it', gap]])
    this.sample(regime, t, y, found.t)
    return [found.t, found.y]
  }

  private note(regime: Regime, t: number, y: State): void {
    const name = this.window === 'ascent' ? 'peak g' : this.window === 'entry' ? 'entry g' : this.window
    this.felt = Math.abs(this.force(regime, t, y)[0]) / y[4]!
    this.figures[name] = Math.max(this.figures[name] ?? 0, this.felt)
    const q = this.q(regime, y)
    if (this.window === 'ascent') this.figures['max q'] = Math.max(this.figures['max q'] ?? 0, q)
    if (this.window === 'entry') this.figures['entry q'] = Math.max(this.figures['entry q'] ?? 0, q)
  }

  private sample(regime: Regime, t: number, y: State, end: number): void {
    // Canopies fill in a second or two: finer there.
    const count = this.window.startsWith('opening') && regime.canopy(t) !== regime.canopy(t + 1) ? 200 : 12
    for (let k = 0; k <= count; k++) {
      const at = t + ((end - t) * k) / count
      this.note(regime, at, this.integrate(regime, t, y, at))
    }
  }
}
