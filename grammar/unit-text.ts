import type { Piece } from './lexer.ts'
import { isConnective } from './words.ts'

/**
 * Where a unit that begins at piece `start` ends (the piece after it), or `start` where no unit begins. A unit holds no
 * blanks: symbols, `%` and `°` joined by `*`, `·` or `/`, powers, parentheses, `1/s`. Only its shape is looked at.
 */
export function unitEnd(pieces: readonly Piece[], start: number): number {
  const first = pieces[start]
  if (first?.type === 'word' && isConnective(first.text)) return start
  if (first?.text === '(') return start
  return Math.max(start, product(pieces, start, 0))
}

// These return the piece after what they read, or -1 where it does not stand there.

function product(pieces: readonly Piece[], start: number, depth: number): number {
  let end = factor(pieces, start, depth)
  while (end >= 0 && isJoint(pieces[end])) {
    const next = factor(pieces, end + 1, depth)
    if (next < 0) break
    end = next
  }
  return end
}

function factor(pieces: readonly Piece[], start: number, depth: number): number {
  const end = base(pieces, start, depth)
  if (end < 0) return end
  if (pieces[end]?.type === 'raised') return end + 1
  return pieces[end]?.text === '^' ? Math.max(end, exponent(pieces, end + 1)) : end
}

function base(pieces: readonly Piece[], start: number, depth: number): number {
  const piece = pieces[start]
  if (piece?.type === 'word' || piece?.text === '%') return start + 1
  if (piece?.text === '°') return pieces[start + 1]?.type === 'word' ? start + 2 : start + 1
  if (piece?.text === '1' && pieces[start + 1]?.text === '/')
    return factor(pieces, start + 2, depth) < 0 ? -1 : start + 1
  if (piece?.text !== '(' || depth > 100) return -1
  const end = product(pieces, start + 1, depth + 1)
  return end >= 0 && pieces[end]?.text === ')' ? end + 1 : -1
}

function exponent(pieces: readonly Piece[], start: number): number {
  if (pieces[start]?.text !== '(') return signed(pieces, start)
  let end = signed(pieces, start + 1)
  if (end >= 0 && pieces[end]?.text === '/') end = signed(pieces, end + 1)
  return end >= 0 && pieces[end]?.text === ')' ? end + 1 : -1
}

function signed(pieces: readonly Piece[], start: number): number {
  const at = pieces[start]?.type === 'sign' ? start + 1 : start
  return pieces[at]?.type === 'number' ? at + 1 : -1
}

function isJoint(piece: Piece | undefined): boolean {
  return piece?.text === '*' || piece?.text === '/' || piece?.text === '·' || piece?.text === '⋅'
}

const RAISED = '⁰¹²³⁴⁵⁶⁷⁸⁹⁺⁻'
const PLAIN = '0123456789+-'

/** A unit in the form that tidy writes: `m/s²` as `m/s^2`, `N·s` as `N*s`, `°C` as `degC`. The meaning is the same. */
export function plainUnit(text: string): string {
  return text
    .replace(/[⁰¹²³⁴⁵⁶⁷⁸⁹⁺⁻]+/g, raised => `^${[...raised].map(each => PLAIN[RAISED.indexOf(each)]).join('')}`)
    .replace(/[·⋅]/g, '*')
    .replace(/°/g, 'deg')
    .replace(/\u03bc/g, 'µ')
}

/** Whether a unit is a reading on a temperature scale, whose number keeps its sign. */
export function isReadingText(unit: string): boolean {
  return unit === 'degC' || unit === '°C' || unit === 'degF' || unit === '°F'
}
