import { error, type Span, warning } from '../../grammar/source.ts'
import type { Slot } from '../../grammar/tree.ts'
import type { Curve, Expr, StageModel } from '../../solver/index.ts'
import { constant, type Surroundings } from './checked.ts'
import { localBreaks } from './drag-breaks.ts'
import { missing, motorOf, type StageSlots } from './flight-motor.ts'

/** What one stage was given: values in SI, tables, and which slots stand in its own block. */
export interface GivenStage {
  readonly name: string
  /** "The flight "hop"" or "The stage "booster"", to begin a sentence. */
  readonly owner: string
  readonly span: Span
  readonly slots: readonly Slot[]
  readonly values: Map<string, Expr>
  readonly curves: ReadonlyMap<string, Curve>
  /** A stage that may go without a motor: it is carried. */
  readonly idle: boolean
}

/** A stage ready for the solver, or null after saying what it lacks. */
export function elaborateStage(
  given: GivenStage,
  hangs: (expr: Expr) => boolean,
  around: Surroundings,
): StageModel | null {
  const { values, owner, span, idle } = given
  const written = new Set(given.slots.map(slot => slot.name.text))
  const slots: StageSlots = {
    owner,
    span,
    values,
    curves: given.curves,
    written,
    spanOf: name => given.slots.find(slot => slot.name.text === name)?.span ?? span,
  }
  const before = around.problems.length
  reconcileArea(slots, around)
  if (!values.has('dry mass') && !written.has('dry mass') && !around.lost('dry mass'))
    around.problems.push(missing(owner, span, 'dry mass'))
  const motor = motorOf(slots, idle, hangs, around)
  if (!motor || !values.has('dry mass') || around.problems.slice(before).some(problem => problem.severity === 'error'))
    return null
  const dragCoefficient = values.get('drag coefficient') ?? constant(1)
  const [separation, ignition] = [values.get('separation delay'), values.get('ignition delay')]
  return {
    name: given.name,
    dryMass: values.get('dry mass')!,
    propellantMass: values.get('propellant mass') ?? constant(0),
    ...motor,
    throttleCap: values.get('throttle cap') ?? constant(1),
    referenceArea: values.get('reference area') ?? constant(0),
    dragCoefficient,
    dragBreaks: localBreaks(dragCoefficient),
    ...(separation ? { separationDelay: separation } : {}),
    ...(ignition ? { ignitionDelay: ignition } : {}),
  }
}

/** A diameter may stand for the reference area; the one written in the block goes before one of the sheet's. */
function reconcileArea({ values, written, spanOf, span, owner }: StageSlots, around: Surroundings): void {
  const diameter = values.get('diameter')
  if (!diameter) return
  const [areaHere, diameterHere] = [written.has('reference area'), written.has('diameter')]
  if (areaHere && diameterHere) {
    around.problems.push(
      error(spanOf('diameter'), 'The reference area and the diameter are both given.', 'Keep one of the two.'),
    )
    return
  }
  if (values.has('reference area') && !diameterHere) {
    if (!areaHere)
      around.problems.push(
        warning(span, `The sheet has a reference area and a diameter; ${lower(owner)} takes the reference area.`),
      )
    return
  }
  ;(values as Map<string, Expr>).set('reference area', {
    op: 'mul',
    a: constant(Math.PI / 4),
    b: { op: 'pow', a: diameter, b: constant(2) },
  })
}

function lower(owner: string): string {
  return owner.replace(/^The flight ".*"$/, 'this flight').replace(/^The /, 'the ')
}
