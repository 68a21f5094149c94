import { error, type Span, warning } from '../../grammar/source.ts'
import type { Slot } from '../../grammar/tree.ts'
import { describe, isNone, NONE } from '../../grammar/units/dimension.ts'
import type { BodyModel, Expr, FlightModel, StageModel } from '../../solver/index.ts'
import type { Surroundings, TableEntry } from './checked.ts'
import { constant } from './checked.ts'
import { localBreaks, readsLocal } from './drag-breaks.ts'
import type { FlightStatement, Scope } from './scope.ts'
import { notYet } from './scope.ts'
import { fitSlot, slotValues } from './slot-values.ts'
import { FLIGHT_SLOTS, STAGE_SLOTS } from './slots.ts'

/** A flight ready for the solver, with its body's place; null where its block holds a mistake. */
export function elaborateFlight(
  statement: FlightStatement,
  body: { readonly index: number; readonly model: BodyModel } | null,
  scope: Scope,
  around: Surroundings,
): FlightModel | null {
  const before = around.problems.length
  const withMach: Surroundings = { ...around, local: { name: 'mach', dimension: NONE } }
  for (const part of statement.parts)
    around.problems.push(
      notYet(part.name.span, part.kind === 'stage' ? 'Flights of several stages are' : 'Parachutes are'),
    )
  const values = slotValues(statement.slots, [...FLIGHT_SLOTS, ...STAGE_SLOTS], around, withMach)
  const written = new Set(statement.slots.map(slot => slot.name.text))
  let complete = true
  for (const entry of [...FLIGHT_SLOTS, ...STAGE_SLOTS]) {
    if (written.has(entry.name)) continue
    const value = fillByName(statement, entry, scope, around)
    if (value === 'broken') complete = false
    else if (value) values.set(entry.name, value)
  }
  reconcileArea(statement, values, written, around)
  reconcileMotor(statement, values, scope, around)
  if (complete)
    for (const name of ['dry mass', 'vacuum thrust', 'specific impulse'])
      if (!values.has(name) && !written.has(name) && !motorLater(scope, name)) missing(statement, name, around)
  const wrong = around.problems.slice(before).some(problem => problem.severity === 'error')
  if (wrong || !complete || !body) return null
  const stage = stageOf(statement, values)
  if (readsLocal(stage.dragCoefficient) && body.model.kind === 'own' && body.model.air && !body.model.air.soundSpeed) {
    around.problems.push(
      error(
        dragSpan(statement),
        `The drag coefficient is a function of mach, but the body "${statement.body.text}" gives no sound speed.`,
        'Write a line such as "sound speed = 300 m/s" in the body.',
      ),
    )
    return null
  }
  return {
    name: statement.name.text,
    body: body.index,
    launchAltitude: values.get('launch altitude') ?? constant(0),
    stages: [stage],
  }
}

function dragSpan(statement: FlightStatement): Span {
  return statement.slots.find(slot => slot.name.text === 'drag coefficient')?.span ?? statement.name.span
}

/** The sheet's own quantity or table of a slot's name. 'broken': there is one, but with a mistake told elsewhere. */
function fillByName(
  statement: FlightStatement,
  entry: (typeof STAGE_SLOTS)[number],
  scope: Scope,
  around: Surroundings,
): Expr | null | 'broken' {
  const declared = scope.names.get(entry.name)
  if (!declared || declared.kind === 'body' || declared.kind === 'flight' || entry.name === 'nose radius') return null
  if (entry.name === 'total impulse' || entry.name === 'rated burn time') return null
  if (entry.later) {
    around.problems.push(notYet(declared.name.span, `The ${entry.name} of a flight is`))
    return 'broken'
  }
  if (declared.kind === 'table') {
    if (entry.name !== 'drag coefficient') {
      around.problems.push(
        error(
          declared.name.span,
          `The flight "${statement.name.text}" takes its ${entry.name} from here, but a table is not one value.`,
        ),
      )
      return 'broken'
    }
    const table = around.table(entry.name)
    return table ? machTable(table, declared.name.span, around) : 'broken'
  }
  const checked = around.lookup(declared.name, null, declared.name.span)
  return checked ? (fitSlot(entry, checked, declared.name.span, around) ?? 'broken') : 'broken'
}

function machTable(table: TableEntry, span: Span, around: Surroundings): Expr | 'broken' {
  if (isNone(table.argument) && isNone(table.value)) {
    around.used(table, { op: 'local' }, span)
    return { op: 'curve', curve: table.curve, a: { op: 'local' } }
  }
  around.problems.push(
    error(
      span,
      `A drag coefficient is a table of mach, both plain numbers; this one goes from ${describe(table.argument)} to ${describe(table.value)}.`,
    ),
  )
  return 'broken'
}

/** A diameter may stand for the reference area; the one written in the block goes before one of the sheet's. */
function reconcileArea(
  statement: FlightStatement,
  values: Map<string, Expr>,
  written: ReadonlySet<string>,
  around: Surroundings,
): void {
  const diameter = values.get('diameter')
  if (!diameter) return
  const [areaHere, diameterHere] = [written.has('reference area'), written.has('diameter')]
  if (areaHere && diameterHere) {
    around.problems.push(
      error(
        slotSpan(statement.slots, 'diameter'),
        'The reference area and the diameter are both given.',
        'Keep one of the two.',
      ),
    )
    return
  }
  if (values.has('reference area') && !diameterHere) {
    if (!areaHere)
      around.problems.push(
        warning(
          statement.name.span,
          'The sheet has a reference area and a diameter; this flight takes the reference area.',
        ),
      )
    return
  }
  values.set('reference area', { op: 'mul', a: constant(Math.PI / 4), b: { op: 'pow', a: diameter, b: constant(2) } })
}

function slotSpan(slots: readonly Slot[], name: string): Span {
  return slots.find(slot => slot.name.text === name)!.span
}

function motorLater(scope: Scope, name: string): boolean {
  return name === 'specific impulse' && (scope.names.has('total impulse') || scope.names.has('rated burn time'))
}

/** Motors told by total impulse or burn time come later. */
function reconcileMotor(
  statement: FlightStatement,
  values: Map<string, Expr>,
  scope: Scope,
  around: Surroundings,
): void {
  if (!values.has('specific impulse') && !statement.slots.some(slot => slot.name.text === 'specific impulse')) {
    const other = ['total impulse', 'rated burn time']
      .map(name => scope.names.get(name))
      .find(declared => declared !== undefined)
    if (other)
      around.problems.push(
        notYet(other.name.span, `A motor told by its ${other.name.text} is`, 'Give its specific impulse.'),
      )
  }
}

function missing(statement: FlightStatement, name: string, around: Surroundings): void {
  around.problems.push(
    error(
      statement.name.span,
      `The flight "${statement.name.text}" is given no ${name}.`,
      `Declare it ("fact ${name} = …"), or write an indented line "${name} = …" under the flight.`,
    ),
  )
}

function stageOf(statement: FlightStatement, values: ReadonlyMap<string, Expr>): StageModel {
  const vacuumThrust = values.get('vacuum thrust')!
  const dragCoefficient = values.get('drag coefficient') ?? constant(1)
  return {
    name: statement.name.text,
    dryMass: values.get('dry mass')!,
    propellantMass: values.get('propellant mass') ?? constant(0),
    vacuumThrust,
    seaLevelThrust: values.get('sea level thrust') ?? vacuumThrust,
    exhaustSpeed: values.get('specific impulse')!,
    throttleCap: values.get('throttle cap') ?? constant(1),
    referenceArea: values.get('reference area') ?? constant(0),
    dragCoefficient,
    dragBreaks: localBreaks(dragCoefficient),
  }
}
