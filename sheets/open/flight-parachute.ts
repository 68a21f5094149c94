import type { Part } from '../../grammar/tree.ts'
import type { ParachuteModel } from '../../solver/index.ts'
import { constant, type Surroundings } from './checked.ts'
import { missing } from './flight-motor.ts'
import { slotValues } from './slot-values.ts'
import { PARACHUTE_SLOTS } from './slots.ts'

/** A parachute ready for the solver, or null after saying what it lacks. Only written lines count. */
export function elaborateParachute(part: Part, around: Surroundings): ParachuteModel | null {
  const before = around.problems.length
  const { values, whole } = slotValues(part.slots, PARACHUTE_SLOTS, around)
  const written = new Set(part.slots.map(slot => slot.name.text))
  for (const slot of ['canopy area', 'opening altitude'])
    if (!written.has(slot)) around.problems.push(missing(`The parachute "${part.name.text}"`, part.name.span, slot))
  if (!whole || around.problems.length > before) return null
  return {
    name: part.name.text,
    area: { op: 'mul', a: values.get('canopy area')!, b: values.get('drag coefficient') ?? constant(1) },
    altitude: values.get('opening altitude')!,
    fillTime: values.get('fill time') ?? constant(0),
    safeQ: values.get('safe q') ?? null,
    safeSpeed: values.get('safe speed') ?? null,
  }
}
