import { referenceText } from '../../grammar/print.ts'
import type { Condition, Expression } from '../../grammar/tree.ts'
import { toSI, type Unit } from '../../grammar/units/unit.ts'
import { unitNamed } from '../report/target-words.ts'

/** Where a quantity's number stands in the spreadsheet, and the unit it is written in there. */
export interface CellPlace {
  readonly cell: string
  readonly unit: Unit
}

/** Functions of the language by their names in a spreadsheet (ISO/IEC 29500 takes them over from common practice; from memory). */
const FUNCTIONS: Readonly<Record<string, string>> = {
  sqrt: 'SQRT',
  exp: 'EXP',
  ln: 'LN',
  log10: 'LOG10',
  sin: 'SIN',
  cos: 'COS',
  tan: 'TAN',
  asin: 'ASIN',
  acos: 'ACOS',
  atan: 'ATAN',
  min: 'MIN',
  max: 'MAX',
  abs: 'ABS',
}

/**
 * An algebraic expression as a live formula whose result is in `unit`; null where it is not algebraic (a table, air, a flight) or names
 * something that has no cell. All is worked out in SI inside: each cell times its unit, the result divided by its own.
 */
export function formulaOf(tree: Expression, unit: Unit, place: (name: string) => CellPlace | null): string | null {
  const inside = expressionFormula(tree, place)
  return inside === null ? null : `=${fromSIFormula(inside, unit)}`
}

function straight(unit: Unit): { readonly zero: number; readonly per: number } {
  const zero = toSI(0, unit)
  return { zero, per: toSI(1, unit) - zero }
}

function fromSIFormula(inside: string, unit: Unit): string {
  const { zero, per } = straight(unit)
  const above = zero === 0 ? inside : `(${inside}-${literal(zero)})`
  return per === 1 ? above : `${above}/${literal(per)}`
}

function toSIFormula({ cell, unit }: CellPlace): string {
  const { zero, per } = straight(unit)
  const times = per === 1 ? cell : `${cell}*${literal(per)}`
  return zero === 0 ? (per === 1 ? cell : `(${times})`) : `(${times}+${literal(zero)})`
}

/** A double as a spreadsheet reads it. */
function literal(value: number): string {
  return value < 0 ? `(${String(value).replace('e', 'E')})` : String(value).replace('e', 'E')
}

/** Every operation stands in parentheses: a spreadsheet binds signs and powers otherwise. */
function expressionFormula(tree: Expression, place: (name: string) => CellPlace | null): string | null {
  const of = (part: Expression): string | null => expressionFormula(part, place)
  switch (tree.kind) {
    case 'number':
      return literal(toSI(tree.value, unitNamed(tree.unit?.text ?? '')))
    case 'reference': {
      if (tree.name.text === 'pi' && !tree.of) return 'PI()'
      const found = place(referenceText(tree))
      return found && toSIFormula(found)
    }
    case 'sign': {
      const inner = of(tree.arg)
      return inner && (tree.operator === '-' ? `(0-${inner})` : inner)
    }
    case 'binary': {
      const [left, right] = [of(tree.left), of(tree.right)]
      return left && right && `(${left}${tree.operator}${right})`
    }
    case 'call': {
      const name = tree.of || !Object.hasOwn(FUNCTIONS, tree.name.text) ? null : FUNCTIONS[tree.name.text]!
      const parts = tree.args.map(of)
      return name === null || parts.includes(null) ? null : `${name}(${parts.join(',')})`
    }
    case 'if': {
      const parts = [conditionFormula(tree.test, place), of(tree.yes), of(tree.no)]
      return parts.includes(null) ? null : `IF(${parts.join(',')})`
    }
  }
}

function conditionFormula(test: Condition, place: (name: string) => CellPlace | null): string | null {
  if (test.kind === 'not') {
    const inner = conditionFormula(test.arg, place)
    return inner && `NOT(${inner})`
  }
  if (test.kind === 'compare') {
    const [left, right] = [expressionFormula(test.left, place), expressionFormula(test.right, place)]
    return left && right && `(${left}${test.operator}${right})`
  }
  const [left, right] = [conditionFormula(test.left, place), conditionFormula(test.right, place)]
  return left && right && `${test.kind === 'both' ? 'AND' : 'OR'}(${left},${right})`
}
