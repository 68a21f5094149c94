import { formatQuantity } from '../../grammar/units/choose.ts'
import type { Answer, QuantityAnswer } from '../answer.ts'
import { asNumber } from './number.ts'
import { unitNamed } from './target-words.ts'

/** A lever that is a share of a fact, with what it makes: the load to put in, and how much to take out of a full one. */
export interface Load {
  readonly made: readonly [string, QuantityAnswer]
  readonly full: readonly [string, QuantityAnswer]
}

/**
 * Finds the one figure that is the lever times the one mass that is known; none or several: null. Told by the numbers themselves,
 * to the last bit, so that it holds however the sheet writes it.
 */
export function loadOf(lever: QuantityAnswer, quantities: Answer['quantities']): Load | null {
  if (lever.unit !== '%' && lever.unit !== '') return null
  const all = Object.entries(quantities)
  const share = asNumber(lever.si)
  const found = all.flatMap(([name, figure]) => {
    if (figure.role !== 'figure' || !isMass(figure) || name.includes(' of ')) return []
    return all.flatMap(([fact, full]): Load[] =>
      full.role === 'fact' && isMass(full) && asNumber(full.si) * share === asNumber(figure.si)
        ? [{ made: [name, figure], full: [fact, full] }]
        : [],
    )
  })
  return found.length === 1 ? found[0]! : null
}

function isMass({ unit }: QuantityAnswer): boolean {
  const { dimension } = unitNamed(unit)
  return dimension[1] === 1 && dimension.every((power, at) => at === 1 || power === 0)
}

/** How much of a full load to leave out, in words. */
export function takenOut({ made, full }: Load): string {
  return formatQuantity(asNumber(full[1].si) - asNumber(made[1].si), unitNamed(full[1].unit), 4)
}
