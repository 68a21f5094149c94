import { error, warning } from '../../grammar/source.ts'
import type { Part } from '../../grammar/tree.ts'
import { NONE } from '../../grammar/units/dimension.ts'
import type { BodyModel, Expr, FlightModel, ParachuteModel, StageModel } from '../../solver/index.ts'
import type { Surroundings } from './checked.ts'
import { constant } from './checked.ts'
import { crewLimit } from './crew-limits.ts'
import { readsLocal } from './drag-breaks.ts'
import { fillFromSheet } from './flight-from-sheet.ts'
import { elaborateParachute } from './flight-parachute.ts'
import { elaborateStage } from './flight-stage.ts'
import type { FlightStatement, Scope } from './scope.ts'
import { type Given, slotValues } from './slot-values.ts'
import { FLIGHT_SLOTS, STAGE_SLOTS, slotsByName } from './slots.ts'

/** A flight ready for the solver, with its body's place; null where its block holds a mistake. `hangs`: whether an expression hangs on a lever. */
export function elaborateFlight(
  statement: FlightStatement,
  body: { readonly index: number; readonly model: BodyModel } | null,
  scope: Scope,
  around: Surroundings,
  hangs: (expr: Expr) => boolean,
): FlightModel | null {
  const before = around.problems.length
  const staged = statement.parts.some(part => part.kind === 'stage')
  const withMach: Surroundings = { ...around, local: { name: 'mach', dimension: NONE } }
  checkParts(statement, scope, around)
  const entries = staged ? FLIGHT_SLOTS : [...FLIGHT_SLOTS, ...STAGE_SLOTS]
  if (staged) refuseStageSlots(statement, around)
  const own = staged
    ? statement.slots.filter(slot => !STAGE_SLOTS.some(entry => entry.name === slot.name.text))
    : statement.slots
  const given = slotValues(own, entries, around, withMach)
  const complete = fillFromSheet(statement, slotsByName(staged), given, scope, around)
  const stages = staged
    ? stagesOf(statement, around, withMach, hangs)
    : complete
      ? singleStage(statement, given, around, hangs)
      : []
  const parachutes = statement.parts
    .filter(part => part.kind === 'parachute')
    .map(part => elaborateParachute(part, around))
  warnOfDelays(statement, stages, around)
  const broken = around.problems.slice(before).some(problem => problem.severity === 'error')
  if (broken || !complete || !given.whole || !body || stages.length === 0) return null
  if (!areAll(stages) || !areAll(parachutes)) return null
  if (!machKnown(statement, stages, body.model, around) || !warmthFits(statement, given, body.model, around))
    return null
  return modelOf(statement, body.index, given, stages, parachutes, staged)
}

/** Whether none of a flight's parts holds a mistake. */
function areAll<T>(parts: readonly (T | null)[]): parts is readonly T[] {
  return !parts.includes(null)
}

function modelOf(
  statement: FlightStatement,
  body: number,
  { values, curves }: Given,
  stages: readonly StageModel[],
  parachutes: readonly ParachuteModel[],
  staged: boolean,
): FlightModel {
  const slots = ['rail elevation', 'rail length', 'nose radius', 'temperature offset']
  const [elevation, rail, nose, warmth] = slots.map(name => values.get(name))
  const pitch = curves.get('pitch')
  const [crew, entryCrew] = ['crew limit', 'entry crew limit'].map(name => curves.get(name))
  return {
    name: statement.name.text,
    body,
    launchAltitude: values.get('launch altitude') ?? constant(0),
    stages,
    ...(staged ? { staged } : {}),
    ...(elevation ? { railElevation: elevation } : {}),
    ...(rail ? { railLength: rail } : {}),
    ...(nose ? { noseRadius: nose } : {}),
    ...(warmth ? { warmth } : {}),
    ...(parachutes.length > 0 ? { parachutes } : {}),
    ...(pitch ? { pitch } : {}),
    ...(crew ? { crewLimit: crewLimit(crew) } : {}),
    ...(entryCrew ? { entryCrewLimit: crewLimit(entryCrew) } : {}),
  }
}

/** Stages and parachutes have names of their own, each once in a flight, and none that is a flight's or body's. */
function checkParts(statement: FlightStatement, scope: Scope, around: Surroundings): void {
  const seen = new Map<string, Part>()
  for (const part of statement.parts) {
    const { text, span } = part.name
    const first = seen.get(text)
    if (first)
      around.problems.push(
        error(span, `The name "${text}" is used twice in this flight.`, 'Give one of the two another name.', [
          { ...first.name.span, message: `here it is a ${first.kind}` },
        ]),
      )
    seen.set(text, part)
    const owner = scope.names.get(text)
    if (owner?.kind === 'flight' || owner?.kind === 'body')
      around.problems.push(
        error(
          span,
          `"${text}" is a ${owner.kind} of this sheet; its figures could not be told apart from the ${part.kind}'s.`,
          `Give the ${part.kind} another name.`,
        ),
      )
  }
}

/** Where a flight has stage blocks, what belongs to a stage is written in them. */
function refuseStageSlots(statement: FlightStatement, around: Surroundings): void {
  for (const { name } of statement.slots)
    if (STAGE_SLOTS.some(entry => entry.name === name.text))
      around.problems.push(
        error(
          name.span,
          `The ${name.text} belongs to a stage, and this flight has stage blocks.`,
          `Write the line under one of its stages.`,
        ),
      )
}

function singleStage(
  statement: FlightStatement,
  { values, curves }: Given,
  around: Surroundings,
  hangs: (expr: Expr) => boolean,
): readonly (StageModel | null)[] {
  const { text, span } = statement.name
  const given = { name: text, owner: `The flight "${text}"`, span, slots: statement.slots, values, curves, idle: false }
  return [elaborateStage(given, hangs, around)]
}

/** Stage blocks in the order written: only their own lines count. */
function stagesOf(
  statement: FlightStatement,
  around: Surroundings,
  withMach: Surroundings,
  hangs: (expr: Expr) => boolean,
): readonly (StageModel | null)[] {
  return statement.parts
    .filter(part => part.kind === 'stage')
    .map(part => {
      const { values, curves, whole } = slotValues(part.slots, STAGE_SLOTS, around, withMach)
      const { text, span } = part.name
      const owner = `The stage "${text}"`
      const given = { name: text, owner, span, slots: part.slots, values, curves, idle: true }
      const stage = elaborateStage(given, hangs, around)
      return whole ? stage : null
    })
}

/**
 * The first stage that burns is lit at once, an empty one has no burnout, and the last is kept: delays there say nothing.
 * Empty stages under the first that burns are left on the pad, which nobody wants.
 */
function warnOfDelays(statement: FlightStatement, models: readonly (StageModel | null)[], around: Surroundings): void {
  const parts = statement.parts.filter(part => part.kind === 'stage')
  const empty = models.map(model => model?.propellantMass.op === 'const' && model.propellantMass.value === 0)
  const first = Math.max(0, empty.indexOf(false))
  const warn = (part: typeof statement | (typeof parts)[number], name: string, why: string): void => {
    const delay = part.slots.find(slot => slot.name.text === name)
    if (delay) around.problems.push(warning(delay.span, `${why}, so its ${name} has no effect.`, 'Leave the line out.'))
  }
  for (const part of parts.slice(0, first)) {
    around.problems.push(
      warning(
        part.name.span,
        `The stage "${part.name.text}" has no propellant and lies under the first that burns: it is left on the pad.`,
        `What is carried belongs above "${parts[first]!.name.text}", or into its dry mass.`,
      ),
    )
    warn(part, 'ignition delay', 'A stage without propellant is never lit')
  }
  const lit = first > 0 ? 'No stage below this one burns: it is lit at time 0' : 'The first stage is lit at time 0'
  warn(parts[first] ?? statement, 'ignition delay', lit)
  parts.slice(0, -1).forEach((part, place) => {
    if (empty[place]) warn(part, 'separation delay', 'A stage without propellant has no burnout')
  })
  warn(parts.at(-1) ?? statement, 'separation delay', 'The last stage is never dropped')
}

/** Only Earth's standard air has a temperature profile that can be moved. */
function warmthFits(statement: FlightStatement, { values }: Given, body: BodyModel, around: Surroundings): boolean {
  if (body.kind === 'earth' || !values.has('temperature offset')) return true
  const slot = statement.slots.find(({ name }) => name.text === 'temperature offset')
  around.problems.push(
    error(
      slot?.span ?? statement.name.span,
      `A temperature offset moves the standard air of Earth; this flight is from ${statement.body.text}.`,
      'Leave it out, or tell the air of the body by a table.',
    ),
  )
  return false
}

function machKnown(
  statement: FlightStatement,
  stages: readonly StageModel[],
  body: BodyModel,
  around: Surroundings,
): boolean {
  const reads = stages.some(stage => readsLocal(stage.dragCoefficient))
  if (!reads || body.kind !== 'own' || !body.air || body.air.soundSpeed) return true
  const slots = [...statement.slots, ...statement.parts.flatMap(part => part.slots)]
  around.problems.push(
    error(
      slots.find(slot => slot.name.text === 'drag coefficient')?.span ?? statement.name.span,
      `The drag coefficient is a function of mach, but the body "${statement.body.text}" gives no sound speed.`,
      'Write a line such as "sound speed = 300 m/s" in the body.',
    ),
  )
  return false
}
