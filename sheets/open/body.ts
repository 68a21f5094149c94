import { error } from '../../grammar/source.ts'
import type { Slot, Statement } from '../../grammar/tree.ts'
import { describe, same } from '../../grammar/units/dimension.ts'
import { type AirTable, airTableFault, type BodyModel } from '../../solver/index.ts'
import type { Surroundings } from './checked.ts'
import { dimensionOf } from './kinds.ts'
import { slotValues } from './slot-values.ts'
import { BODY_SLOTS } from './slots.ts'

type BodyStatement = Extract<Statement, { kind: 'body' }>

const AIR = ['surface pressure', 'surface density', 'scale height', 'atmosphere top'] as const

/** A body of the sheet's own, or null where it holds a mistake. Only written lines count. */
export function elaborateBody(statement: BodyStatement, around: Surroundings): BodyModel | null {
  const before = around.problems.length
  const tableSlot = statement.slots.find(slot => slot.name.text === 'air table')
  const { values, whole } = slotValues(
    statement.slots.filter(slot => slot !== tableSlot),
    BODY_SLOTS,
    around,
  )
  const table = tableSlot ? airTableOf(tableSlot, around) : null
  if (tableSlot) refuseBeside(statement, around)
  const name = statement.name.text
  for (const slot of ['radius', 'surface gravity'])
    if (!statement.slots.some(written => written.name.text === slot))
      around.problems.push(
        error(
          statement.name.span,
          `The body "${name}" has no ${slot}.`,
          `Write an indented line such as "${slot} = ${slot === 'radius' ? '600 km' : '3.7 m/s^2'}" under it.`,
        ),
      )
  const air = !tableSlot && [...AIR, 'sound speed'].some(slot => has(statement.slots, slot))
  if (air)
    for (const slot of AIR)
      if (!has(statement.slots, slot))
        around.problems.push(
          error(
            statement.name.span,
            `The air of "${name}" also needs its ${slot}.`,
            `Write an indented line "${slot} = …" under it.`,
          ),
        )
  if (!whole || around.problems.length > before) return null
  return {
    kind: 'own',
    radius: values.get('radius')!,
    gravity: values.get('surface gravity')!,
    air: air
      ? {
          pressure: values.get('surface pressure')!,
          density: values.get('surface density')!,
          scaleHeight: values.get('scale height')!,
          soundSpeed: values.get('sound speed') ?? null,
          top: values.get('atmosphere top')!,
        }
      : null,
    space: values.get('space boundary') ?? null,
    ...(table ? { table } : {}),
    ...(table && values.has('sound speed') ? { tableSound: values.get('sound speed')! } : {}),
    ...(values.has('heating constant') ? { heating: values.get('heating constant')! } : {}),
  }
}

/** Columns of air, told apart by what they are. */
const COLUMNS = [
  ['temperature', dimensionOf('K')],
  ['pressure', dimensionOf('Pa')],
  ['density', dimensionOf('kg/m^3')],
] as const

/** The rows of a body's air, or null after saying what is wrong with them. */
function airTableOf({ value }: Slot, around: Surroundings): AirTable | null {
  const table = value.kind === 'reference' && value.of === null ? around.table(value.name.text) : undefined
  const say = (message: string, mend: string): null => {
    around.problems.push(error(value.span, message, mend))
    return null
  }
  if (!table && value.kind === 'reference' && around.lost(value.name.text)) return null
  if (!table)
    return say(
      'An air table is given by the name of a table of altitude.',
      'Declare "table my air of altitude" with columns of temperature, pressure and density, and write its name here.',
    )
  const [altitude, ...columns] = table.columns
  if (!same(altitude!.dimension, dimensionOf('m')))
    return say(
      `A table of air begins with altitudes; this one begins with ${describe(altitude!.dimension)}.`,
      'Put the altitudes first, in m or km.',
    )
  const found: Partial<Record<'temperature' | 'pressure' | 'density', Float64Array>> = {}
  for (const { dimension, values } of columns) {
    const name = COLUMNS.find(([, wanted]) => same(dimension, wanted))?.[0]
    if (!name)
      return say(
        `A table of air holds temperature, pressure and density; this one also holds ${describe(dimension)}.`,
        'Take that column out, or look at its unit.',
      )
    if (found[name]) return say(`This table of air holds two columns of ${name}.`, 'Keep one of the two.')
    found[name] = values
  }
  const rows: AirTable = {
    altitude: altitude!.values,
    temperature: found.temperature ?? null,
    pressure: found.pressure ?? null,
    density: found.density ?? null,
  }
  const fault = airTableFault(rows)
  return fault === null ? rows : say(`This air cannot be used: ${fault}.`, 'Look at its rows and their units.')
}

/** The table tells all of these already. */
function refuseBeside(statement: BodyStatement, around: Surroundings): void {
  for (const { name } of statement.slots)
    if ((AIR as readonly string[]).includes(name.text))
      around.problems.push(
        error(
          name.span,
          `The air table of "${statement.name.text}" tells its air already.`,
          `Leave the ${name.text} out.`,
        ),
      )
}

function has(slots: readonly Slot[], name: string): boolean {
  return slots.some(slot => slot.name.text === name)
}
