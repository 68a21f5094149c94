import { EARTH } from '../../solver/index.ts'
import type { WorkingPart } from '../working.ts'
import { unitOurs } from './kinds.ts'
import { type Node, valueText } from './working-node.ts'
import { ownRelation } from './working-relation.ts'
import { surfaceGravity, type Vehicle } from './working-vehicle.ts'

interface Explained {
  readonly parts: readonly WorkingPart[]
  readonly reads: readonly Node[]
}

function said(text: string, reads: readonly Node[] = []): Explained {
  return { parts: [{ kind: 'note', text }], reads }
}

/** Below this share of itself the height is lost to nothing but rounding. */
const NOTHING = 1e-9

/**
 * Apoapsis from altitude and speed at burnout. With the height z = R h/(R + h), in which gravity does not fall off, the coast without
 * drag ends at z + v²/2g; turned back by h = R z/(R − z). What that lies above the apoapsis, drag took in the coast.
 */
export function apoapsis(vehicle: Vehicle, node: Node): Explained | null {
  if (vehicle.outcome === 'never leaves the pad') {
    const launch = vehicle.given('launch altitude')
    return said('it never leaves the pad: the highest point is the pad itself', launch ? [launch] : [])
  }
  const [altitude, speed] = [vehicle.figure('burnout altitude'), vehicle.figure('burnout speed')]
  if (![altitude.si, speed.si].every(Number.isFinite)) return null
  const burnout = vehicle.flown().event('burnout')
  const top = vehicle.figure('apoapsis time')
  if (burnout && top.si < burnout.time)
    return said('the highest point comes before burnout: there is no coast up to it', [top])
  const radius = vehicle.part(`radius of ${vehicle.body}`, radiusOf(vehicle), 'm', { world: true })
  const gravity = surfaceGravity(vehicle)
  const at = { altitude, speed, radius, gravity }
  const energy = energyHeight(vehicle, at)
  if (!Number.isFinite(node.si) || energy.si >= radius.si) return beyond(vehicle, at)
  const free = vehicle.part('height without drag', (energy.si * radius.si) / (radius.si - energy.si), 'm')
  const lost = free.si - node.si
  const drag = vehicle.part('height lost to drag', lost, 'm', {
    note: 'what drag took in the coast, by which the flight falls short of the height without drag',
  })
  const nothing = Math.abs(lost) <= NOTHING * free.si
  const { desk } = vehicle
  const steps = [
    { ...ownRelation(desk, ENERGY, at, energy), gives: energy.name },
    { ...ownRelation(desk, 'height * radius / (radius - height)', { height: energy, radius }, free), gives: free.name },
    { ...ownRelation(desk, nothing ? 'free' : 'free - drag', { free, drag }, node), gives: node.name },
  ]
  return {
    parts: steps.map(({ part, gives }) => ({ ...part, gives })),
    reads: [altitude, speed, radius, gravity, ...(nothing ? [] : [drag])],
  }
}

type AtBurnout = Readonly<Record<'altitude' | 'speed' | 'radius' | 'gravity', Node>>

/** What altitude and speed at burnout are worth as height, were gravity the same all the way. */
const ENERGY = 'altitude * radius / (radius + altitude) + speed^2 / (2 * gravity)'

function energyHeight(vehicle: Vehicle, { altitude, speed, radius, gravity }: AtBurnout): Node {
  const lifted = (altitude.si * radius.si) / (radius.si + altitude.si)
  return vehicle.part('energy height', lifted + speed.si ** 2 / (2 * gravity.si), 'm')
}

function beyond(vehicle: Vehicle, at: AtBurnout): Explained {
  const { altitude, speed, radius, gravity } = at
  const needed = Math.sqrt((2 * gravity.si * radius.si ** 2) / (radius.si + altitude.si))
  const enough = vehicle.part('escape speed at burnout', needed, 'm/s', {
    relation: 'sqrt(2 * gravity * radius^2 / (radius + altitude))',
    over: { altitude, radius, gravity },
  })
  const text = `${valueText(speed.si, unitOurs('m/s'))} at burnout is beyond the ${enough.text} that escape takes there: no highest point`
  return speed.si >= needed ? said(text, [speed, enough]) : said('it escapes', [speed, enough])
}

/** The radius of the body [m]. */
function radiusOf({ model, desk }: Vehicle): number {
  const body = desk.opened.model.bodies[model.body]!
  return body.kind === 'own' ? desk.values([body.radius])[0]! : EARTH.radius
}
