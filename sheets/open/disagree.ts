import type { Expression } from '../../grammar/tree.ts'
import { baseUnit } from '../../grammar/units/choose.ts'
import { baseForm, type Dimension, describe, divide, isNone } from '../../grammar/units/dimension.ts'
import type { Unit } from '../../grammar/units/unit.ts'

/** What a message needs to know of a side: its kind, and the unit it is written in, if it has one of its own. */
export interface Side {
  readonly dimension: Dimension
  readonly unit?: Unit | null
}

/** A side by its kind and its own unit: "a force (kN)"; without one, by its base units: "a force (kg*m/s^2)". */
export function told({ dimension, unit }: Side): string {
  const words = describe(dimension)
  if (isNone(dimension) || !unit || unit.text === '') return words
  return words.endsWith(')') ? words.replace(/ \(.*\)$/, ` (${unit.text})`) : words
}

/** Two sides as notes for their places, one under the other: names and base units begin at one column each. */
export function lined(left: Side, right: Side): readonly [string, string] {
  const parts = [left, right].map(({ dimension }) => [kindOf(dimension) ?? '', baseForm(dimension)] as const)
  const width = Math.max(...parts.map(([kind]) => kind.length))
  const [first, second] = parts.map(([kind, base]) => `${kind.padEnd(width)}  ${base}`.trim())
  return [first!, second!]
}

/** Kinds by which one kind becomes another in the trade: what is multiplied by them stays a thing with a name. */
const FACTORS = ['length', 'area', 'volume', 'mass', 'time', 'speed', 'acceleration', 'force', 'pressure', 'density']

/**
 * How two kinds that were taken for one hang together, where that is plain: " A force is a mass times an acceleration." Begins with a
 * blank; empty where there is nothing plain to say.
 */
export function kinship(left: Side, right: Side): string {
  const [a, b] = [kindOf(left.dimension), kindOf(right.dimension)]
  if (!a || !b || isNone(left.dimension) || isNone(right.dimension)) return ''
  const over = kindOf(divide(left.dimension, right.dimension))
  if (over && isFactor(over)) return ` ${capital(a)} is ${b} times ${over}.`
  const under = kindOf(divide(right.dimension, left.dimension))
  return under && isFactor(under) ? ` ${capital(b)} is ${a} times ${under}.` : ''
}

/** The name of a kind, with its article; null for kinds that are called by their base units. */
function kindOf(dimension: Dimension): string | null {
  const words = describe(dimension)
  if (isNone(dimension)) return words
  return /^an? .*\)$/.test(words) ? words.replace(/ \(.*\)$/, '') : null
}

function isFactor(kind: string): boolean {
  return FACTORS.includes(kind.replace(/^an? /, ''))
}

function capital(words: string): string {
  return words[0]!.toUpperCase() + words.slice(1)
}

/** What to look for where two sides are of two kinds and nothing better is known. */
export const OTHER_KIND = 'Look for a wrong unit, or for a factor that is missing, on one of the two sides.'

/** What mends a value, or a unit, of another kind than the one that is wanted. */
export function unitMend(wanted: Dimension): string {
  return isNone(wanted)
    ? 'A plain number is told alone, or in %.'
    : `Give a unit of its own kind, such as ${baseUnit(wanted).text}.`
}

/** What makes a plain number of a quantity. */
export function plainMend({ dimension, unit }: Side): string {
  return `To make it a plain number, divide it by a unit of its own kind: / (1 ${(unit ?? baseUnit(dimension)).text}).`
}

/** What mends a number that was written without its unit, where `other` tells which kind is wanted; null where it is something else. */
export function bareMend(tree: Expression, side: Side, other: Side): string | null {
  if (tree.kind === 'sign') return bareMend(tree.arg, side, other)
  if (tree.kind !== 'number' || tree.unit !== null || !isNone(side.dimension) || isNone(other.dimension)) return null
  return `Write the unit after the number, such as ${(other.unit ?? baseUnit(other.dimension)).text}.`
}
