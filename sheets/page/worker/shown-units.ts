import { displayUnit, formatQuantity } from '../../../grammar/units/choose.ts'
import { type Dimension, dimension, same } from '../../../grammar/units/dimension.ts'
import type { Unit } from '../../../grammar/units/unit.ts'
import type { Answer, QuantityAnswer, TargetAnswer } from '../../answer.ts'
import { asNumber } from '../../report/number.ts'
import { unitNamed } from '../../report/target-words.ts'

/** In which units the page shows what is worked out: as the sheet writes them, SI throughout, or the customary ones of the trade. */
export type ShownUnits = 'sheet' | 'SI' | 'customary'

/** Customary units by dimension, from small to large, each with the least number [SI] shown in it. Common practice, no source. */
const CUSTOMARY: readonly (readonly [Dimension, readonly (readonly [string, number])[]])[] = [
  [
    dimension(1),
    [
      ['ft', 0],
      ['mi', 30_000],
    ],
  ],
  [dimension(2), [['ft^2', 0]]],
  [dimension(0, 1), [['lb', 0]]],
  [dimension(1, 1, -2), [['lbf', 0]]],
  [
    dimension(-1, 1, -2),
    [
      ['psf', 0],
      ['psi', 20_000],
    ],
  ],
  [dimension(1, 0, -1), [['ft/s', 0]]],
  [dimension(1, 1, -1), [['lbf*s', 0]]],
]

/** Accelerations are told in multiples of the standard gravity in every system, shares and angles too. */
function stays({ text }: Unit): boolean {
  return text === 'g0' || text === '%' || text === 'deg'
}

/** The unit that a value is shown in, instead of its own. */
function shownUnit(own: Unit, si: number, units: ShownUnits): Unit {
  if (units === 'sheet' || stays(own)) return own
  if (units === 'customary') {
    const family = CUSTOMARY.find(([each]) => same(each, own.dimension))?.[1]
    const fitting = family?.filter(([, from]) => Math.abs(si) >= from).at(-1)
    if (fitting) return unitNamed(fitting[0])
  }
  return displayUnit(own.dimension, si)
}

/** An answer with figures and targets told in other units; levers and facts stay as the sheet writes them, since a hand writes them there. */
export function inUnits(answer: Answer, units: ShownUnits): Pick<Answer, 'quantities' | 'targets' | 'aims'> {
  const compromise = answer.conflict?.compromise ?? null
  const from = {
    quantities: compromise?.quantities ?? answer.quantities,
    targets: compromise?.targets ?? answer.targets,
  }
  if (units === 'sheet') return { ...from, aims: answer.aims }
  const other = (unit: string, si: number): Unit => shownUnit(unitNamed(unit), si, units)
  const quantities = Object.fromEntries(
    Object.entries(from.quantities).map(([name, quantity]): [string, QuantityAnswer] => {
      const si = asNumber(quantity.si)
      if (quantity.role !== 'figure' || Number.isNaN(si)) return [name, quantity]
      const unit = other(quantity.unit, si)
      return [name, { ...quantity, unit: unit.text, text: formatQuantity(si, unit, 4) }]
    }),
  )
  const targets = from.targets.map((target): TargetAnswer => {
    const size = Math.max(...target.limit.map(asNumber).filter(Number.isFinite), Number.NEGATIVE_INFINITY)
    // What a target costs is worked out when it is asked for: copied as the getter that it is.
    return Object.defineProperty(
      Object.create(Object.getPrototypeOf(target), Object.getOwnPropertyDescriptors(target)),
      'unit',
      { value: other(target.unit ?? '', size).text },
    ) as TargetAnswer
  })
  const aims = answer.aims.map(aim => ({ ...aim, unit: other(aim.unit ?? '', asNumber(aim.si)).text }))
  return { quantities, targets, aims }
}
