import { isHeld } from '../ascent.ts'
import { layerAt } from './air.ts'
import type { Kind } from './events.ts'
import { H, U } from './point.ts'
import { passKnot } from './vehicle.ts'
import type { Way } from './way.ts'

/** What a met event brings, and what lies at the same altitude; `lane.event` must be set. */
export function happen(way: Way, kind: Kind): void {
  const { craft, from, log, plan, observer } = way
  const falling = from.state[U]! < 0
  if (kind === 'edge' && falling && from.state[H]! === plan.launchAltitude) {
    happen(way, 'ground')
    return
  }
  if (kind !== 'space' && log.spaceEdge === from.state[H]! && log.inSpace === falling) happen(way, 'space')
  switch (kind) {
    case 'edge':
      way.cross(() => {
        craft.layer = layerAt(craft.air, from.state[H]!, from.state[U]! > 0)
      })
      break
    case 'mach':
      passMach(way)
      break
    case 'clip':
      way.cross(() => {
        craft.clipped = !craft.clipped
      })
      break
    case 'rail end':
      log.railEnd()
      observer?.event('rail end', craft, from, 0)
      way.cross(() => {
        craft.mode = 'free'
      })
      break
    case 'space':
      log.space()
      observer?.event('space', craft, from, 0)
      break
    case 'apoapsis':
      apoapsis(way)
      break
    case 'periapsis':
      if (craft.mode === 'rail')
        way.cross(() => {
          craft.direction = 1
        })
      else way.end = 'goes into orbit'
      break
    case 'opening':
      way.canopies.open()
      break
    case 'ground':
      ground(way)
      break
  }
  if (way.end !== null) return
  if (way.canopies.opensHere()) way.canopies.open()
  way.arrange()
}

function passMach(way: Way): void {
  const { craft, from } = way
  const before = from.machRate
  way.cross(() => passKnot(craft, before > 0), false)
  if (isHeld(before, from.machRate, craft.surfaceGravity * from.slowness)) way.end = 'could not be flown'
}

function apoapsis(way: Way): void {
  const { craft, from, log } = way
  log.apoapsis()
  way.observer?.event('apoapsis', craft, from, 0)
  way.cross(() => {
    craft.direction = -1
    craft.layer = layerAt(craft.air, from.state[H]!, false)
  })
  if (way.clock.burntOut && log.ascending) log.closeAscent(false)
}

function ground(way: Way): void {
  const { log } = way
  log.considerAll()
  if (log.ascending) log.closeAscent(true)
  log.ground()
  way.observer?.event('touchdown', way.craft, way.from, 0)
  way.end = way.canopies.verdict()
}
