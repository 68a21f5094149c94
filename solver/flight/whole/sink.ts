import { airInto } from './air.ts'
import { complete } from './forces.ts'
import { createPoint, H, MASS, U, W } from './point.ts'
import { feltSlopes } from './trace.ts'
import { type Arrival, arrive, meet, nextBelow } from './vacuum.ts'
import type { Way } from './way.ts'

/** Above this ε the series of the sinking speed is not trusted: 24 ε⁴ is what it leaves out. */
const SERIES = 7e-4
/** The speed counts as the sinking speed within this share of it, and as nearly as steps tell it. */
const STEADY = 5e-10
/** So many times u/g after the canopy is full nothing is left of how it opened, in speeds along lanes either: they die away as exp(−g t/u) at least. */
const SETTLED = 18
/** Gauss and Legendre's rule of five points on −1…1, over panels no higher than this [m]. */
const NODES = [-0.906179845938664, -0.5384693101056831, 0, 0.5384693101056831, 0.906179845938664]
const WEIGHTS = [0.23692688505618908, 0.47862867049936647, 0.5688888888888889, 0.47862867049936647, 0.23692688505618908]
const PANEL = 1500

/** The square of a sinking speed, its derivative by the logarithm of κ, and ε. */
interface Sinking {
  readonly square: number
  readonly byGrip: number
  readonly small: number
}

/**
 * Sinks under an open canopy to the next event below, without steps: once what is left of the opening has died away, u² = y follows the
 * altitude, y = (g + y'/2)/(κρ) with κ = area × coefficient/2m. Put into itself from y₀ = g/(κρ) on it gives y₀(1 + ε + …) with ε = y₀'/2g, here to ε²
 * by the air's own derivatives and ε³ as where density falls exponentially. Steps would be held short by how soon the speed settles (2g/u a second),
 * not by anything that happens. False where the flight does not sink so.
 */
export function sink(voyage: Way): boolean {
  const { craft, from, clock, canopies, care } = voyage
  const { state } = from
  if (craft.mode !== 'free' || !(craft.canopyTo > 0) || craft.fillTime !== 0 || !(state[U]! < 0)) return false
  if (!clock.spent || canopies.waits || craft.layer >= craft.air.layers.length || !dragIsConstant(voyage)) return false
  const grip = (0.5 * from.area) / state[MASS]!
  const begin = sinkingAt(voyage, state[H]!, grip)
  const speed = Math.sqrt(begin.square)
  const near = STEADY * speed + care.tolerance * (speed + care.speed)
  if (!(begin.small < SERIES) || !(Math.abs(state[U]! + speed) <= near && Math.abs(state[W]!) <= near)) return false
  if (from.time - craft.opened < (SETTLED * speed) / from.gravity) return false
  const grips = craft.lanes.map((_, l) => gripChange(voyage, l))
  state[U] = -speed
  state[W] = 0
  complete(craft, from)
  craft.lanes.forEach(({ state: lane }, l) => {
    lane[U] = (-0.5 * begin.byGrip * grips[l]!) / speed + (from.rates[U]! * lane[H]!) / state[U]!
    lane[W] = 0
  })
  const { kind, altitude } = nextBelow(voyage, craft.air.layers[craft.layer]!.bottom)
  const { time, byGrip } = fallTime(voyage, state[H]!, altitude, grip)
  const end = sinkingAt(voyage, altitude, grip)
  settle(voyage, {
    time,
    altitude,
    up: -Math.sqrt(end.square),
    side: 0,
    angle: 0,
    totals: craft.lanes.map((lane, l) => ({
      time: -lane.state[H]! / state[U]! + byGrip * grips[l]!,
      altitude: 0,
      up: (-0.5 * end.byGrip * grips[l]!) / Math.sqrt(end.square),
      side: 0,
      angle: 0,
    })),
  })
  meet(voyage, kind)
  return true
}

/** Goes to the end of the sinking, what is felt written down where it is asked for. */
function settle(voyage: Way, to: Arrival): void {
  const { craft, log, from } = voyage
  if (log.tracing) log.felt(from, feltSlopes(craft, from), null)
  arrive(voyage, to)
  if (log.tracing) log.felt(voyage.from, feltSlopes(craft, voyage.from), null)
}

/** Whether the drag coefficient stays what it is at lower mach numbers. */
function dragIsConstant({ craft, from }: Way): boolean {
  const { starts, pieces } = craft.dragPieces
  const at = 4 * from.piece
  return !(starts[from.piece]! > 0) && pieces[at + 1] === 0 && pieces[at + 2] === 0 && pieces[at + 3] === 0
}

const air = createPoint()

function sinkingAt({ craft }: Way, altitude: number, grip: number): Sinking {
  air.state[H] = altitude
  airInto(craft.air, craft.layer, air)
  const near = 1 / (craft.radius + altitude)
  const g = craft.surfaceGravity * (craft.radius * near) ** 2
  const thin = air.densitySlope / air.density
  // y₀'/y₀ and its derivative.
  const growth = -2 * near - thin
  const bend = 2 * near * near - (air.densityBend / air.density - thin * thin)
  const first = g / (grip * air.density)
  const a = growth / (2 * g)
  const small = a * first
  // ε² comes of y₀'' and of ε itself, and of g' in ε.
  const b = (growth * growth + (growth * growth + bend) + 2 * growth * near) / (4 * g * g)
  const c = 6 * a * a * a
  const square = first * (1 + first * (a + first * (b + first * c)))
  return { square, byGrip: -first * (1 + first * (2 * a + first * (3 * b + first * 4 * c))), small: Math.abs(small) }
}

/** Change of ln κ. */
function gripChange({ craft, from }: Way, l: number): number {
  const lane = craft.lanes[l]!
  const area = craft.area * craft.dragPieces.lanes[l]![4 * from.piece]! + lane.area * from.coefficient + lane.canopyTo
  return area / from.area - lane.state[MASS]! / from.state[MASS]!
}

/** The time of the fall between two altitudes, and its derivative by ln κ. */
function fallTime(voyage: Way, above: number, below: number, grip: number): { time: number; byGrip: number } {
  const panels = Math.ceil((above - below) / PANEL)
  const height = (above - below) / panels
  let time = 0
  let byGrip = 0
  for (let panel = 0; panel < panels; panel++) {
    const middle = below + (panel + 0.5) * height
    NODES.forEach((node, k) => {
      const { square, byGrip: change } = sinkingAt(voyage, middle + 0.5 * height * node, grip)
      const pace = (0.5 * height * WEIGHTS[k]!) / Math.sqrt(square)
      time += pace
      byGrip -= (0.5 * pace * change) / square
    })
  }
  return { time, byGrip }
}
