import type { Expression, UnitText } from '../../grammar/tree.ts'
import { same } from '../../grammar/units/dimension.ts'
import { isReading, parseUnit, type Unit } from '../../grammar/units/unit.ts'
import { dimensionOf } from './kinds.ts'
import type { Reading } from './open.ts'
import type { Declared } from './scope.ts'

/** What a kelvin stands for: how warm it is, or how far apart two temperatures are. Null: the sheet does not tell. */
export type TemperatureSort = 'reading' | 'difference' | null

/** A number such as 5 degC. */
export type LiteralReading = Extract<Expression, { kind: 'number' }> & { readonly unit: UnitText }

/** Names are followed so far. */
const MOST_STEPS = 100

const KELVIN = dimensionOf('K')

/** Tells the sort of expressions of a sound sheet. */
export function temperatureSorts(reading: Reading): (tree: Expression) => TemperatureSort {
  const known = new Map<Declared, TemperatureSort>()
  return tree => sortOf(tree, { reading, known }, 0)
}

interface Sheet {
  readonly reading: Reading
  readonly known: Map<Declared, TemperatureSort>
}

function sortOf(tree: Expression, sheet: Sheet, steps: number): TemperatureSort {
  const of = (part: Expression): TemperatureSort => sortOf(part, sheet, steps)
  switch (tree.kind) {
    case 'number':
      return isLiteralReading(tree) ? 'reading' : null
    case 'reference': {
      const declared = tree.of === null ? sheet.reading.scope.names.get(tree.name.text) : undefined
      return declared ? sortOfDeclared(declared, sheet, steps) : null
    }
    case 'call':
      if (tree.name.text === 'air temperature') return 'reading'
      if (tree.name.text === 'abs' || tree.name.text === 'min' || tree.name.text === 'max')
        return common(tree.args.map(of))
      return null
    case 'sign':
      return of(tree.arg)
    case 'if':
      return common([of(tree.yes), of(tree.no)])
    case 'binary': {
      const [left, right] = [of(tree.left), of(tree.right)]
      switch (tree.operator) {
        case '+':
          // Whatever is added to a reading is a difference, unless it is a slip that is told of itself.
          return left === 'reading' || right === 'reading' ? 'reading' : left === right ? left : null
        case '-':
          if (left === 'reading') return right === 'reading' ? 'difference' : right === 'difference' ? 'reading' : null
          return left === right ? left : null
        case '*':
          return left === 'difference' || right === 'difference' ? 'difference' : null
        case '/':
          return left === 'difference' ? 'difference' : null
        case '^':
          return null
      }
    }
  }
}

function common(sorts: readonly TemperatureSort[]): TemperatureSort {
  return sorts.every(sort => sort === sorts[0]) ? (sorts[0] ?? null) : null
}

/** Only temperatures are followed, and so far: of thousands in a chain nothing is said. */
function sortOfDeclared(declared: Declared, sheet: Sheet, steps: number): TemperatureSort {
  const before = sheet.known.get(declared)
  if (before !== undefined) return before
  const { ids, info } = sheet.reading.opened
  const id = ids.get(declared.name.text)
  if (id === undefined || !same(info[id]!.dimension, KELVIN) || steps > MOST_STEPS) return null
  const tree = declared.kind === 'lever' ? declared.from : 'value' in declared ? declared.value : null
  const sort = tree ? sortOf(tree, sheet, steps + 1) : null
  sheet.known.set(declared, sort)
  return sort
}

export function unitWritten(text: string): Unit | null {
  const parsed = parseUnit(text)
  return 'unit' in parsed ? parsed.unit : null
}

export function isLiteralReading(tree: Expression): tree is LiteralReading {
  if (tree.kind !== 'number' || !tree.unit) return false
  const unit = unitWritten(tree.unit.text)
  return unit !== null && isReading(unit)
}
