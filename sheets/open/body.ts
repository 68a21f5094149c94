import { error } from '../../grammar/source.ts'
import type { Slot, Statement } from '../../grammar/tree.ts'
import type { BodyModel } from '../../solver/index.ts'
import type { Surroundings } from './checked.ts'
import { slotValues } from './slot-values.ts'
import { BODY_SLOTS } from './slots.ts'

type BodyStatement = Extract<Statement, { kind: 'body' }>

const AIR = ['surface pressure', 'surface density', 'scale height', 'atmosphere top'] as const

/** A body of the sheet's own, or null where it holds a mistake. Only written lines count. */
export function elaborateBody(statement: BodyStatement, around: Surroundings): BodyModel | null {
  const before = around.problems.length
  const { values } = slotValues(statement.slots, BODY_SLOTS, around)
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
  const air = [...AIR, 'sound speed'].some(slot => has(statement.slots, slot))
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
  if (around.problems.length > before) return null
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
    ...(values.has('heating constant') ? { heating: values.get('heating constant')! } : {}),
  }
}

function has(slots: readonly Slot[], name: string): boolean {
  return slots.some(slot => slot.name.text === name)
}
