import { vary } from './changes.ts'
import type { Watch } from './events.ts'
import { H, type Point, U } from './point.ts'
import type { Watched } from './records.ts'
import { rateOf } from './records.ts'
import type { Way } from './way.ts'

/** All that the coming steps may meet, in the regime of the moment. */
export function arrangeWatches(voyage: Way): readonly Watch[] {
  const { craft } = voyage
  const list: Watch[] = []
  const { lanes } = craft
  const still = (): number => 0
  const above = (kind: Watch['kind'], altitude: number, target: (lane: number) => number): void => {
    list.push({
      kind,
      altitude,
      gap: point => point.state[H]! - altitude,
      rate: point => point.state[U]!,
      change: (_, l) => lanes[l]!.state[H]! - target(l),
    })
  }
  const below = (kind: Watch['kind'], altitude: number, target: (lane: number) => number): void => {
    list.push({
      kind,
      altitude,
      gap: point => altitude - point.state[H]!,
      rate: point => -point.state[U]!,
      change: (_, l) => target(l) - lanes[l]!.state[H]!,
    })
  }
  const layer = craft.air.layers[craft.layer]
  if (layer) {
    above('edge', layer.top, still)
    if (Number.isFinite(layer.bottom)) below('edge', layer.bottom, still)
  } else if (craft.air.layers.length > 0) below('edge', craft.air.layers[craft.air.layers.length - 1]!.top, still)
  if (layer) knots(voyage, list)
  if (craft.mode === 'rail') {
    const { plan, directions } = voyage
    above('rail end', plan.launchAltitude + plan.railLength * craft.sine, l => {
      const direction = directions[l]!
      return (
        direction.launchAltitude +
        direction.railLength * craft.sine +
        plan.railLength * craft.cosine * direction.railElevation
      )
    })
  }
  turning(voyage, list)
  const space = voyage.log.spaceEdge
  if (space !== null) (voyage.log.inSpace ? below : above)('space', space, still)
  below('ground', voyage.plan.launchAltitude, l => voyage.directions[l]!.launchAltitude)
  if (craft.burning && craft.beta > 0) clip(voyage, list)
  const opening = voyage.canopies.watch()
  if (opening) list.push(opening)
  peaks(voyage, list)
  return list
}

function knots(voyage: Way, list: Watch[]): void {
  const { craft } = voyage
  const { dragPieces, pieceLow, pieceHigh } = craft
  const { starts } = dragPieces
  const change = (point: Point, l: number): number => {
    vary(craft, point, craft.lanes[l]!, l)
    return craft.change.mach
  }
  if (pieceHigh + 1 < starts.length) {
    const high = starts[pieceHigh + 1]!
    list.push({ kind: 'mach', altitude: Number.NaN, gap: p => p.mach - high, rate: p => p.machRate, change })
  }
  if (pieceLow > 0) {
    const low = starts[pieceLow]!
    list.push({
      kind: 'mach',
      altitude: Number.NaN,
      gap: p => low - p.mach,
      rate: p => -p.machRate,
      change: (p, l) => -change(p, l),
    })
  }
}

function turning({ craft, log }: Way, list: Watch[]): void {
  const change = (_: Point, l: number): number => craft.lanes[l]!.state[U]!
  list.push({
    kind: 'apoapsis',
    altitude: Number.NaN,
    gap: point => -point.state[U]!,
    rate: point => -point.rates[U]!,
    change: (point, l) => -change(point, l),
  })
  const slides = craft.mode === 'rail' && craft.direction < 0
  if (slides || (craft.mode === 'free' && !craft.vertical && !log.ascending))
    list.push({
      kind: 'periapsis',
      altitude: Number.NaN,
      gap: point => point.state[U]!,
      rate: point => point.rates[U]!,
      change,
    })
}

/** Where the air pressure just takes all thrust. */
function clip({ craft }: Way, list: Watch[]): void {
  const sign = craft.clipped ? -1 : 1
  list.push({
    kind: 'clip',
    altitude: Number.NaN,
    gap: point => sign * (craft.beta * point.pressure - 1),
    rate: point => sign * craft.beta * point.pressureSlope * point.state[U]!,
    change: (point, l) => {
      const lane = craft.lanes[l]!
      return sign * (lane.beta * point.pressure + craft.beta * point.pressureSlope * lane.state[H]!)
    },
  })
}

/** Where a figure that some window asks for turns from rising to falling; without air only speed and felt acceleration do. */
function peaks(voyage: Way, list: Watch[]): void {
  const { craft } = voyage
  const inAir = craft.layer < craft.air.layers.length
  const sets = voyage.log.sets()
  const kinds: readonly [Watch['kind'], Watched][] = [
    ['felt', 'felt'],
    ['q', 'q'],
    ['speed', 'speed'],
    ['mach peak', 'mach'],
    ['heat', 'heat'],
  ]
  for (const [kind, what] of kinds) {
    if (!inAir && what !== 'felt' && what !== 'speed') continue
    if (!sets.some(set => set[what] !== undefined)) continue
    list.push({
      kind,
      altitude: Number.NaN,
      gap: point => -rateOf(what, point),
      rate: () => 1,
      change: () => 0,
    })
  }
}
