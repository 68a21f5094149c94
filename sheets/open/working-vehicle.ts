import { displayUnit } from '../../grammar/units/choose.ts'
import { type Dimension, same } from '../../grammar/units/dimension.ts'
import type { Unit } from '../../grammar/units/unit.ts'
import type { AirProperty, FlightModel } from '../../solver/index.ts'
import { constant } from './checked.ts'
import { dimensionOf, unitOurs } from './kinds.ts'
import type { FlightStatement } from './scope.ts'
import { STAGE_SLOTS } from './slots.ts'
import { atMach } from './working-desk.ts'
import { type Flown, flownOf } from './working-moment.ts'
import { type Desk, type Node, told, valueText } from './working-node.ts'
import { isWritten, ownRelation, relationOf } from './working-relation.ts'

/** Standard gravity, by which a specific impulse told in seconds becomes a speed: 3rd CGPM (1901). */
const STANDARD_GRAVITY = 9.80665

/** A flight's numbers by name, as nodes. */
export interface Vehicle {
  readonly desk: Desk
  readonly model: FlightModel
  readonly outcome: string | null
  readonly body: string
  /** Another figure of the same flight. */
  readonly figure: (name: string) => Node
  /** What the flight was given under a name, from the sheet or its own block; null where it was given none. */
  readonly given: (name: string) => Node | null
  /** The course, flown when first asked for. */
  readonly flown: () => Flown
  /** A node made here; `name` is told apart from the sheet's own names and from other flights'. */
  readonly part: (name: string, si: number, unit: string, way?: Way) => Node
  /** The air or gravity of the body at an altitude [m]. */
  readonly air: (property: AirProperty, altitude: number) => number
}

/** How a part comes about: a relation over nodes, or words. */
export interface Way {
  readonly relation?: string
  readonly over?: Readonly<Record<string, Node>>
  readonly note?: string
  /** It is the body's, the same for every flight. */
  readonly world?: true
}

export function vehicleOf(desk: Desk, flight: number): Vehicle {
  const { opened, scope, session } = desk
  const model = opened.model.flights[flight]!
  const statement = scope.flights[flight]!
  let flown: Flown | null = null
  const vehicle: Vehicle = {
    desk,
    model,
    outcome: session.state.outcome(flight),
    body: statement.body.text,
    figure: name => desk.quantity(opened.ids.get(`${name} of ${model.name}`)!),
    given: name => givenTo(vehicle, statement, name),
    flown: () => {
      flown ??= flownOf(session, flight)
      return flown
    },
    part: (name, si, unit, way = {}) => partOf(vehicle, name, si, unitOurs(unit), way),
    air: (property, altitude) => desk.values([{ op: 'air', property, body: model.body, a: constant(altitude) }])[0]!,
  }
  return vehicle
}

function partOf(vehicle: Vehicle, name: string, si: number, wanted: Unit, way: Way): Node {
  const { desk, model } = vehicle
  const unit = displayUnit(wanted.dimension, si, keeps(wanted) ? wanted : undefined)
  const text = valueText(si, unit)
  return {
    key: way.world ? `part ${name}` : `part ${model.name} ${name}`,
    name: way.world ? name : labelled(vehicle, name),
    si,
    unit,
    text,
    open: () => {
      const notes = way.note === undefined ? [] : [{ kind: 'note' as const, text: way.note }]
      if (way.relation === undefined) return told('part', { parts: notes })
      const { part, reads } = ownRelation(desk, way.relation, way.over ?? {}, { si, unit, text })
      return told('part', { parts: [part, ...notes], reads })
    },
  }
}

/** Units that are kept whatever the size. */
function keeps({ text }: Unit): boolean {
  return text === 'm/s' || text === 'kg'
}

/** A name of ours; said of which flight where there are several, or the sheet has that name too. */
function labelled({ desk, model }: Vehicle, name: string): string {
  return desk.scope.flights.length > 1 || desk.scope.names.has(name) ? `${name} of ${model.name}` : name
}

function givenTo(vehicle: Vehicle, statement: FlightStatement, name: string): Node | null {
  const { desk } = vehicle
  const stages = statement.parts.filter(({ kind }) => kind === 'stage')
  // In a block of its own a stage has its written lines only.
  const ofStage = stages.length > 0 && STAGE_SLOTS.some(slot => slot.name === name)
  const lines = ofStage ? (stages.length === 1 ? stages[0]!.slots : []) : statement.slots
  const written = lines.find(slot => slot.name.text === name)
  if (!written && ofStage) return null
  if (!written) {
    const declared = desk.scope.names.get(name)
    const id = desk.opened.ids.get(name)
    const own = declared?.kind === 'fact' || declared?.kind === 'lever' || declared?.kind === 'figure'
    return own && id !== undefined ? desk.quantity(id) : null
  }
  const checked = desk.checked(written.value, null)
  if (!checked) return null
  const si = desk.values([checked.expr])[0]!
  const unit = displayUnit(checked.dimension, si)
  const text = valueText(si, unit)
  return {
    key: `given ${vehicle.model.name} ${name}`,
    name: `${name} of ${vehicle.model.name}`,
    si,
    unit,
    text,
    open: () => {
      const common = { line: written.span.line, description: written.comment }
      if (isWritten(written.value)) return told('given', common)
      const { part, reads } = relationOf(desk, written.value, desk.lookup, null, { si, unit, text })
      return told('given', { ...common, parts: [part], reads })
    },
  }
}

/** The effective exhaust speed, from the specific impulse as it was given. */
export function exhaustSpeed(vehicle: Vehicle): Node {
  const impulse = vehicle.given('specific impulse')!
  if (!isTime(impulse.unit.dimension)) return impulse
  return vehicle.part('exhaust speed', impulse.si * STANDARD_GRAVITY, 'm/s', {
    relation: `impulse * ${STANDARD_GRAVITY} m/s^2`,
    over: { impulse },
    note: 'a specific impulse told in seconds is taken times standard gravity',
  })
}

function isTime(dimension: Dimension): boolean {
  return same(dimension, dimensionOf('s'))
}

/** Propellant burnt each second. */
export function massFlow(vehicle: Vehicle): Node {
  const [thrust, cap, speed] = [vehicle.given('vacuum thrust')!, vehicle.given('throttle cap'), exhaustSpeed(vehicle)]
  return vehicle.part('mass flow', ((cap?.si ?? 1) * thrust.si) / speed.si, 'kg/s', {
    relation: `${cap ? 'cap * ' : ''}thrust / speed`,
    over: { thrust, speed, ...(cap ? { cap } : {}) },
  })
}

/** Thrust at an air pressure, `when` telling where: "on the pad", "at peak g". */
export function thrustAt(vehicle: Vehicle, pressure: Node, when: string): Node {
  const [vacuum, low, cap] = ['vacuum thrust', 'sea level thrust', 'throttle cap'].map(vehicle.given)
  const share = cap?.si ?? 1
  const full = vacuum!.si - (low ? ((vacuum!.si - low.si) * pressure.si) / 101325 : 0)
  const capped = cap ? 'cap * ' : ''
  const under = low ? '(vacuum - (vacuum - low) * pressure / 101.325 kPa)' : 'vacuum'
  return vehicle.part(`thrust ${when}`, share * Math.max(0, full), 'N', {
    relation: full < 0 ? `${capped}max(0 N, ${under})` : capped + under,
    over: { vacuum: vacuum!, pressure, ...(low ? { low } : {}), ...(cap ? { cap } : {}) },
  })
}

/** Whether it is one stage whose thrust is told by its vacuum thrust, its cap and the air alone, and its flow by a specific impulse. */
export function isPlain(vehicle: Vehicle): boolean {
  const { model, desk, given } = vehicle
  const statement = desk.scope.flights.find(({ name }) => name.text === model.name)!
  const curved = [...statement.slots, ...statement.parts.flatMap(({ slots }) => slots)].some(
    slot => slot.name.text === 'thrust curve',
  )
  return (
    model.stages.length === 1 &&
    !curved &&
    !desk.scope.names.has('thrust curve') &&
    ['dry mass', 'vacuum thrust', 'specific impulse'].every(name => given(name) !== null)
  )
}

/** Whether it is flown straight up. */
export function isStraight({ given }: Vehicle): boolean {
  const elevation = given('rail elevation')
  return elevation === null || Math.abs(elevation.si - Math.PI / 2) < 1e-9
}

/** Gravity at altitude 0 of the body. */
export function surfaceGravity(vehicle: Vehicle): Node {
  return vehicle.part(`surface gravity of ${vehicle.body}`, vehicle.air('gravity', 0), 'm/s^2', { world: true })
}

/** The air pressure at an altitude [m]. */
export function pressureAt(vehicle: Vehicle, altitude: number, when: string): Node {
  return vehicle.part(`air pressure ${when}`, vehicle.air('pressure', altitude), 'Pa', {
    note: airWords(vehicle, altitude),
  })
}

export function airWords({ body, model, desk }: Vehicle, altitude: number): string {
  const height = valueText(altitude, displayUnit(dimensionOf('m'), altitude))
  const kind = desk.opened.model.bodies[model.body]!.kind
  return `the air of ${body} at ${height}${kind === 'earth' ? ', by the 1976 standard atmosphere' : ''}`
}

/** The area that drag is told by, from a diameter where that was given; null without drag. */
export function dragArea(vehicle: Vehicle): Node | null {
  const [area, diameter] = [vehicle.given('reference area'), vehicle.given('diameter')]
  if (area || !diameter) return area
  return vehicle.part('reference area', (Math.PI / 4) * diameter.si ** 2, 'm^2', {
    relation: 'pi / 4 * diameter^2',
    over: { diameter },
  })
}

/** The drag coefficient at a mach number: given as one number, or read from its curve. */
export function dragCoefficient(vehicle: Vehicle, mach: number, when: string): Node | null {
  const given = vehicle.given('drag coefficient')
  if (given) return given
  const { dragCoefficient: expr } = vehicle.model.stages[0]!
  if (expr.op === 'const') return null
  const { desk } = vehicle
  const si = desk.values([atMach(expr, mach)])[0]!
  const at = vehicle.part(`mach ${when}`, mach, '1')
  const node = vehicle.part(`drag coefficient ${when}`, si, '1')
  const statement = desk.scope.flights.find(each => each.name.text === vehicle.model.name)!
  const written = statement.slots.find(slot => slot.name.text === 'drag coefficient')
  const value = written?.value ?? tableCall()
  return {
    ...node,
    open: () => {
      const { part, reads } = relationOf(desk, value, desk.lookup, at, node)
      return told('part', { parts: [part], reads, line: written?.span.line ?? null })
    },
  }
}

/** The sheet's own table of that name, read at mach. */
function tableCall(): Parameters<typeof relationOf>[1] {
  const span = { line: 0, column: 0, length: 0 }
  const name = (text: string) => ({ text, span })
  return {
    kind: 'call',
    name: name('drag coefficient'),
    of: null,
    args: [{ kind: 'reference', name: name('mach'), of: null, span }],
    span,
  }
}
