import type { WorkingPart } from '../working.ts'
import type { Instant } from './working-moment.ts'
import type { Node } from './working-node.ts'
import { ownRelation } from './working-relation.ts'
import {
  airWords,
  dragArea,
  dragCoefficient,
  isPlain,
  massFlow,
  pressureAt,
  thrustAt,
  type Vehicle,
} from './working-vehicle.ts'

interface Explained {
  readonly parts: readonly WorkingPart[]
  readonly reads: readonly Node[]
}

/**
 * The course is read between its rows to about 1e-8. What a relation would give back less exactly than that is taken from the
 * figure itself, as long as it lies this near to the course.
 */
const NEAR = 1e-4

/** What a figure says of a number that the course tells less exactly. */
function settled(fromFigure: number, fromCourse: number): number {
  return Math.abs(fromFigure - fromCourse) <= NEAR * Math.abs(fromCourse) ? fromFigure : fromCourse
}

/** Felt acceleration at its largest: thrust less drag, over mass. */
export function peakG(vehicle: Vehicle, node: Node, instant: Instant): Explained | null {
  const when = 'at peak g'
  const burns = instant.thrust > 0
  if (!isPlain(vehicle)) return null
  const mass = massAt(vehicle, instant, when)
  const thrust = burns ? thrustAt(vehicle, pressureAt(vehicle, instant.altitude, when), when) : null
  const push = thrust?.si ?? 0
  const sign = push >= instant.drag ? 1 : -1
  const drag = dragAt(vehicle, settled(push - sign * node.si * mass.si, instant.drag), instant, when)
  const over = { mass, ...(drag ? { drag } : {}), ...(thrust ? { thrust } : {}) }
  const forces = [thrust ? 'thrust' : null, drag ? 'drag' : null].filter(each => each !== null)
  if (forces.length === 0) return null
  const relation =
    forces.length === 1 ? `${forces[0]} / mass` : sign > 0 ? '(thrust - drag) / mass' : '(drag - thrust) / mass'
  const { part, reads } = ownRelation(vehicle.desk, relation, over, node)
  return { parts: [part], reads }
}

function massAt(vehicle: Vehicle, { mass, thrust, time }: Instant, when: string): Node {
  const dry = vehicle.given('dry mass')!
  if (Math.abs(mass - dry.si) <= 1e-9 * mass)
    return vehicle.part(`mass ${when}`, dry.si, 'kg', {
      relation: 'dry',
      over: { dry },
      note: 'all propellant is burnt',
    })
  if (!(thrust > 0)) return vehicle.part(`mass ${when}`, mass, 'kg')
  const [full, flow] = [vehicle.figure('liftoff mass'), massFlow(vehicle)]
  const burnt = settled((full.si - mass) / flow.si, time)
  return vehicle.part(`mass ${when}`, full.si - flow.si * burnt, 'kg', {
    relation: 'full - flow * time',
    over: { full, flow, time: vehicle.part(`time ${when}`, burnt, 's', { note: 'from ignition' }) },
  })
}

/** Drag where the flight knows any: dynamic pressure times area times coefficient. */
function dragAt(vehicle: Vehicle, drag: number, instant: Instant, when: string): Node | null {
  const area = dragArea(vehicle)
  const coefficient = dragCoefficient(vehicle, instant.mach, when)
  if (!area || !(instant.drag > 0)) return null
  const pressure = drag / (area.si * (coefficient?.si ?? 1))
  return vehicle.part(`drag ${when}`, drag, 'N', {
    relation: coefficient ? 'pressure * area * coefficient' : 'pressure * area',
    over: {
      pressure: dynamicPressure(vehicle, pressure, instant, when),
      area,
      ...(coefficient ? { coefficient } : {}),
    },
  })
}

function dynamicPressure(vehicle: Vehicle, si: number, instant: Instant, when: string): Node {
  return vehicle.part(`dynamic pressure ${when}`, si, 'Pa', {
    relation: 'density * speed^2 / 2',
    over: densityAndSpeed(vehicle, si, instant, when),
  })
}

/** Air density, and the speed that gives a dynamic pressure in it. */
function densityAndSpeed(
  vehicle: Vehicle,
  pressure: number,
  instant: Instant,
  when: string,
): Record<'density' | 'speed', Node> {
  const density = vehicle.air('density', instant.altitude)
  const speed = settled(Math.sqrt((2 * pressure) / density), instant.speed)
  return {
    density: vehicle.part(`air density ${when}`, density, 'kg/m^3', { note: airWords(vehicle, instant.altitude) }),
    speed: vehicle.part(`speed ${when}`, speed, 'm/s', { note: 'from the flight' }),
  }
}

/** Dynamic pressure at its largest. */
export function maxQ(vehicle: Vehicle, node: Node, instant: Instant): Explained | null {
  if (!(node.si > 0)) return null
  const there = { ...instant, altitude: vehicle.figure('max q altitude').si }
  const over = densityAndSpeed(vehicle, node.si, there, 'at max q')
  const { part, reads } = ownRelation(vehicle.desk, 'density * speed^2 / 2', over, node)
  return { parts: [part], reads }
}

/** Speed over the speed of sound at its largest. */
export function maxMach(vehicle: Vehicle, node: Node, instant: Instant): Explained | null {
  if (!(node.si > 0)) return null
  const when = 'at max mach'
  const sound = vehicle.air('sound speed', instant.altitude)
  const over = {
    sound: vehicle.part(`sound speed ${when}`, sound, 'm/s', { note: airWords(vehicle, instant.altitude) }),
    speed: vehicle.part(`speed ${when}`, settled(node.si * sound, instant.speed), 'm/s', { note: 'from the flight' }),
  }
  const { part, reads } = ownRelation(vehicle.desk, 'speed / sound', over, node)
  return { parts: [part], reads }
}
