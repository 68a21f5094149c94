import { formatQuantity } from '../../grammar/units/choose.ts'
import type { WorkingMoment, WorkingPart } from '../working.ts'
import { figureNamed } from './figures.ts'
import { unitOurs } from './kinds.ts'
import { apoapsis } from './working-coast.ts'
import type { Instant, Peak } from './working-moment.ts'
import { type Desk, inputOf, type Node, type Told, told } from './working-node.ts'
import { maxMach, maxQ, peakG } from './working-peaks.ts'
import { ownRelation } from './working-relation.ts'
import { sumOf } from './working-sum.ts'
import {
  exhaustSpeed,
  isPlain,
  isStraight,
  massFlow,
  pressureAt,
  surfaceGravity,
  thrustAt,
  type Vehicle,
  vehicleOf,
} from './working-vehicle.ts'

/** How a figure of a flight comes about. */
export interface Explained {
  readonly parts: readonly WorkingPart[]
  readonly reads: readonly Node[]
}

/** Explains a figure with a value. Null: the figure is of no flight like this one; then its meaning must do. */
type Explainer = (vehicle: Vehicle, node: Node) => Explained | null

/** A figure that is one relation. */
function related(vehicle: Vehicle, node: Node, relation: string, over: Readonly<Record<string, Node>>): Explained {
  const { part, reads } = ownRelation(vehicle.desk, relation, over, node)
  return { parts: [part], reads }
}

const propellant = (vehicle: Vehicle): Node | null => vehicle.given('propellant mass')

/** One that holds for a lone stage with propellant. */
const burning =
  (explainer: (vehicle: Vehicle, node: Node, load: Node, dry: Node) => Explained | null): Explainer =>
  (vehicle, node) => {
    const load = propellant(vehicle)
    if (!isPlain(vehicle)) return null
    if (!load || !(load.si > 0)) return said('nothing burns: there is no propellant', load ? [load] : [])
    return explainer(vehicle, node, load, vehicle.given('dry mass')!)
  }

function said(text: string, reads: readonly Node[] = []): Explained {
  return { parts: [{ kind: 'note', text }], reads }
}

const liftoffRatio = burning((vehicle, node) => {
  const altitude = vehicle.given('launch altitude')?.si ?? 0
  const thrust = thrustAt(vehicle, pressureAt(vehicle, altitude, 'on the pad'), 'on the pad')
  const gravity = vehicle.part('gravity on the pad', vehicle.air('gravity', altitude), 'm/s^2')
  return related(vehicle, node, 'thrust / (mass * gravity)', { thrust, gravity, mass: vehicle.figure('liftoff mass') })
})

const burnoutRatio = burning((vehicle, node, _, mass) => {
  if (vehicle.outcome === 'never leaves the pad') return null
  const altitude = vehicle.figure('burnout altitude')
  const thrust = thrustAt(vehicle, pressureAt(vehicle, altitude.si, 'at burnout'), 'at burnout')
  const gravity = surfaceGravity(vehicle)
  const { parts, reads } = related(vehicle, node, 'thrust / (mass * gravity)', { thrust, mass, gravity })
  return { parts: [...momentParts(vehicle, 'burnout', vehicle.flown().event('burnout')), ...parts], reads }
})

/** The losses and what is left, which add up to the ideal speed gain. */
const LOSSES = ['gravity loss', 'drag loss', 'back pressure loss', 'burnout speed']

/** Losses are counted to the last burnout: a stage that does not burn out before touchdown has no part in their sum. */
const balance: Explainer = vehicle => {
  if (vehicle.outcome === 'never leaves the pad') return null
  const parts = LOSSES.map(vehicle.figure)
  const whole = gainSpent(vehicle)
  if (![whole, ...parts].every(({ si }) => Number.isFinite(si)) || whole.si === 0) return null
  return { parts: [sumOf(whole, parts)], reads: [whole, ...parts] }
}

/** The ideal speed gain of all that burns out: the flight's own, one stage's, or a sum of theirs. */
function gainSpent(vehicle: Vehicle): Node {
  const { stages } = vehicle.model
  const spent = stages.flatMap((_, place) =>
    Number.isFinite(ofStage(vehicle, 'burn time', place)?.si) ? (ofStage(vehicle, 'ideal delta v', place) ?? []) : [],
  )
  const burning = stages.filter((_, place) => (ofStage(vehicle, 'total impulse', place)?.si ?? 0) > 0)
  if (spent.length === burning.length || spent.length === 0) return vehicle.figure('ideal delta v')
  if (spent.length === 1) return spent[0]!
  const total = spent.reduce((sum, { si }) => sum + si, 0)
  return vehicle.part('ideal delta v to the last burnout', total, 'm/s', sumRelation(spent))
}

/** A figure of one stage where the flight has several. */
function ofStage({ desk, model }: Vehicle, figure: string, place: number): Node | null {
  const { ids } = desk.opened
  const name = `${figure} of ${model.stages[place]!.name}`
  const id = model.stages.length > 1 ? (ids.get(name) ?? ids.get(`${name} of ${model.name}`)) : undefined
  return id === undefined ? null : desk.quantity(id)
}

/** Nodes added up, as a relation of ours. */
function sumRelation(nodes: readonly Node[]): { relation: string; over: Record<string, Node> } {
  const names = nodes.map((_, k) => `n${k}`)
  return { relation: names.join(' + '), over: Object.fromEntries(nodes.map((node, k) => [names[k]!, node])) }
}

const idealDeltaV: Explainer = (vehicle, node) => {
  const own = idealGain(vehicle, node)
  const whole = vehicle.outcome === 'never leaves the pad' ? null : gainSpent(vehicle)
  const spent = whole?.key === node.key ? balance(vehicle, node) : null
  if (!own) return spent
  return { parts: [...own.parts, ...(spent?.parts ?? [])], reads: own.reads }
}

/** The rocket equation of a lone stage; of several what each of them adds. */
function idealGain(vehicle: Vehicle, node: Node): Explained | null {
  if (isPlain(vehicle))
    return related(vehicle, node, 'speed * ln(ratio)', {
      speed: exhaustSpeed(vehicle),
      ratio: vehicle.figure('mass ratio'),
    })
  const gains = vehicle.model.stages.flatMap((_, place) => ofStage(vehicle, 'ideal delta v', place) ?? [])
  const some = gains.filter(({ si }) => si > 0)
  if (some.length < 2) return null
  const { relation, over } = sumRelation(some)
  return related(vehicle, node, relation, over)
}

/** A figure that is seen at a moment of the flight. */
const seen =
  (name: string, of: Peak | null): Explainer =>
  vehicle => {
    const { event, peak } = vehicle.flown()
    const parts = momentParts(vehicle, name, of ? peak(of, vehicle.figure(name).si) : event(name))
    return parts.length > 0 ? { parts, reads: [] } : null
  }

/** One relation after the moment it holds at. */
const atMoment =
  (
    name: string,
    of: Peak,
    explainer: (vehicle: Vehicle, node: Node, instant: Instant) => Explained | null,
  ): Explainer =>
  (vehicle, node) => {
    const instant = vehicle.flown().peak(of, node.si)
    const found = instant && explainer(vehicle, node, instant)
    return found && { ...found, parts: [...momentParts(vehicle, name, instant), ...found.parts] }
  }

/** What is said of each figure; a figure that is not here is told by its meaning. */
const EXPLAINERS: Readonly<Record<string, Explainer>> = {
  'liftoff mass': (vehicle, node) => {
    const [dry, load] = [vehicle.given('dry mass'), propellant(vehicle)]
    if (!isPlain(vehicle) || !dry) return null
    return load ? related(vehicle, node, 'dry + load', { dry, load }) : related(vehicle, node, 'dry', { dry })
  },
  'mass ratio': (vehicle, node) => {
    const dry = vehicle.given('dry mass')
    if (!isPlain(vehicle) || !dry) return null
    return related(vehicle, node, 'full / dry', { full: vehicle.figure('liftoff mass'), dry })
  },
  'propellant fraction': burning((vehicle, node, load) =>
    related(vehicle, node, 'load / full', { load, full: vehicle.figure('liftoff mass') }),
  ),
  'total impulse': burning((vehicle, node, load) =>
    related(vehicle, node, 'load * speed', { load, speed: exhaustSpeed(vehicle) }),
  ),
  'burn time': burning((vehicle, node, load) =>
    related(vehicle, node, 'load / flow', { load, flow: massFlow(vehicle) }),
  ),
  'ideal delta v': idealDeltaV,
  'liftoff ratio': liftoffRatio,
  'burnout ratio': burnoutRatio,
  'gravity loss': balance,
  'drag loss': balance,
  'back pressure loss': balance,
  'burnout speed': (vehicle, node) => {
    const left = balance(vehicle, node)
    return (
      left && { ...left, parts: [...momentParts(vehicle, 'burnout', vehicle.flown().event('burnout')), ...left.parts] }
    )
  },
  'burnout altitude': seen('burnout', null),
  'peak g': (vehicle, node) =>
    vehicle.outcome === 'never leaves the pad'
      ? said('it never leaves the pad: the rider feels the local gravity and no more')
      : atMoment('peak g', 'felt acceleration', peakG)(vehicle, node),
  'max q': atMoment('max q', 'dynamic pressure', maxQ),
  'max q altitude': seen('max q', 'dynamic pressure'),
  'max speed': seen('max speed', 'speed'),
  'max mach': atMoment('max mach', 'mach', maxMach),
  apoapsis: (vehicle, node) => {
    const top = momentParts(vehicle, 'apoapsis', vehicle.flown().event('apoapsis'))
    const found = isStraight(vehicle) ? apoapsis(vehicle, node) : null
    return { parts: [...top, ...(found?.parts ?? [])], reads: found?.reads ?? [] }
  },
  'apoapsis time': seen('apoapsis', null),
}

/** How a figure of a flight comes about; with no explainer its meaning says it. */
export function explain(desk: Desk, flight: number, name: string, node: Node): Told {
  const description = figureNamed(name)?.meaning ?? null
  const vehicle = vehicleOf(desk, flight)
  // A stage or a parachute may have a figure of the same name.
  const whole = desk.opened.ids.get(`${name} of ${vehicle.model.name}`)
  const own = whole !== undefined && desk.quantity(whole).key === node.key
  const explainer = own && Object.hasOwn(EXPLAINERS, name) && !Number.isNaN(node.si) ? EXPLAINERS[name]! : null
  const found = explainer?.(vehicle, node) ?? stillOnPad(vehicle)
  return told('flight figure', { description, ...found })
}

function stillOnPad({ outcome }: Vehicle): Explained {
  return outcome === 'never leaves the pad'
    ? said('it never leaves the pad: thrust stays below weight')
    : { parts: [], reads: [] }
}

/** Air thinner than this is none worth telling [Pa]. */
const FAINT = 1

/** A moment with what the flight has then. */
function momentParts(vehicle: Vehicle, name: string, instant: Instant | null): readonly WorkingMoment[] {
  if (!instant) return []
  const { event } = vehicle.flown()
  const end = event('burnout')?.time ?? Number.NaN
  const phase =
    Math.abs(instant.time - end) <= 1e-9 * end
      ? instant.thrust > 0
        ? 'at the end of the burn'
        : 'just after the burn'
      : instant.thrust > 0
        ? 'during the burn'
        : 'in the coast'
  const pressure = vehicle.air('pressure', instant.altitude)
  const shown = (label: string, si: number, unit: string) =>
    inputOf({ name: label, si, text: formatQuantity(si, unitOurs(unit), 4) })
  return [
    {
      kind: 'moment',
      name,
      words: phase,
      values: [
        shown('time', instant.time, 's'),
        shown('altitude', instant.altitude, Math.abs(instant.altitude) < 1000 ? 'm' : 'km'),
        shown('speed', instant.speed, 'm/s'),
        ...(pressure >= FAINT ? [shown('air pressure', pressure, pressure < 1000 ? 'Pa' : 'kPa')] : []),
      ],
    },
  ]
}
