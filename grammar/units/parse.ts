import { PLAIN, type Unit } from './conversion.ts'
import { asFraction, type Dimension, multiply, NONE, power, productText } from './dimension.ts'
import { fractionPower, ONE, type Ratio, times } from './ratio.ts'
import { suggestUnit, type UnitFault, unknownSymbol } from './suggest.ts'
import { meaningOf, type SymbolMeaning } from './symbol.ts'

/** The largest power of any one symbol. */
export const LARGEST_POWER = 30
/** Parentheses inside parentheses. */
const DEEPEST = 100
/** Longer ones are no unit of anything. */
const LONGEST = 400

/**
 * A unit from its one-token form: symbols joined by `*` (or `·`) and `/`, powers with `^` or raised digits, parentheses,
 * `1/s`. Products and quotients go from the left: `a/b/c` is a/(b*c), `a/b*c` is (a/b)*c.
 */
export function parseUnit(text: string): ReadUnit {
  const known = READ.get(text)
  if (known) return known
  const read = readUnit(text)
  if (text.length > SHORT) return read
  if (READ.size >= MOST_READ) READ.clear()
  READ.set(text, read)
  return read
}

type ReadUnit = { readonly unit: Unit } | { readonly fault: UnitFault }

/** What was read before: a sheet names the same few units at every place, and a drag reads it anew at each move. */
const READ = new Map<string, ReadUnit>()
const MOST_READ = 500
const SHORT = 40

function readUnit(text: string): ReadUnit {
  const token = text.normalize('NFC').replaceAll('μ', 'µ')
  if (token === '') return { unit: PLAIN }
  if (token.length > LONGEST) {
    return {
      fault: { message: `A unit of ${token.length} characters is too long.`, mend: 'Give the number a shorter unit.' },
    }
  }
  const reading = meaningOf(token)
  if (reading?.offset) return { unit: readingUnit(token, reading) }
  const found = new Reader(token).whole()
  return 'message' in found ? { fault: found } : { unit: unitOf(found) }
}

/** One symbol of a unit with its power, in the order written. */
interface Factor {
  readonly symbol: string
  readonly meaning: SymbolMeaning
  readonly exponent: number
}

/** Equal symbols are joined into one power; what cancels is left out. */
function unitOf(factors: readonly Factor[]): Unit {
  const joined = join(factors)
  const dimension = joined.reduce<Dimension>(
    (all, each) => multiply(all, power(each.meaning.dimension, each.exponent)),
    NONE,
  )
  const size = joined.reduce<Ratio>((all, each) => {
    const [over, under] = asFraction(each.exponent)
    return times(all, fractionPower(each.meaning.factor, over, under))
  }, ONE)
  const text = productText(joined.map(each => [each.symbol, each.exponent]))
  return { text, dimension, multiply: size.over, divide: size.under, offset: 0n }
}

function join(factors: readonly Factor[]): readonly Factor[] {
  const bySymbol = new Map<string, Factor>()
  for (const factor of factors) {
    const before = bySymbol.get(factor.symbol)
    const exponent = factor.exponent + (before?.exponent ?? 0)
    bySymbol.set(factor.symbol, { ...factor, exponent })
  }
  return [...bySymbol.values()].filter(each => Math.abs(each.exponent) > 1e-9)
}

/** SI = (value + offset) × factor, brought to whole numbers over one divisor. */
function readingUnit(text: string, meaning: SymbolMeaning): Unit {
  const { factor, offset, dimension } = meaning
  const under = offset!.under
  return {
    text: text.replace('°', 'deg'),
    dimension,
    multiply: factor.over * under,
    offset: factor.over * offset!.over,
    divide: factor.under * under,
  }
}

const RAISED = '⁰¹²³⁴⁵⁶⁷⁸⁹'
const SYMBOL = /[\p{L}%°][\p{L}\d]*/uy
const POWER = /[+-]?\d+(?:\.\d+)?|\([+-]?\d+(?:\.\d+)?(?:\/\d+)?\)/y
const RAISED_POWER = /⁻?[⁰¹²³⁴⁵⁶⁷⁸⁹]+/y

/** Reads a unit from the left; a fault ends the reading. */
class Reader {
  private at = 0
  private readonly text: string

  constructor(text: string) {
    this.text = text
  }

  whole(): readonly Factor[] | UnitFault {
    const found = this.product(0)
    if ('message' in found || this.at === this.text.length) return found
    return this.unexpected(found)
  }

  private product(depth: number): readonly Factor[] | UnitFault {
    const first = this.factor(depth)
    if ('message' in first) return first
    const all = [...first]
    for (;;) {
      const operator = this.text[this.at]
      if (operator === undefined || !'*·⋅/'.includes(operator)) return all
      this.at++
      const next = this.factor(depth)
      if ('message' in next) return next
      for (const each of next) all.push(operator === '/' ? { ...each, exponent: -each.exponent } : each)
      const fault = tooHigh(this.text, join(all))
      if (fault) return fault
    }
  }

  private factor(depth: number): readonly Factor[] | UnitFault {
    const base = this.base(depth)
    if ('message' in base) return base
    const exponent = this.exponent()
    if (typeof exponent !== 'number') return exponent
    const raised = base.map(each => ({ ...each, exponent: each.exponent * exponent }))
    return tooHigh(this.text, join(raised)) ?? raised
  }

  private base(depth: number): readonly Factor[] | UnitFault {
    if (this.text[this.at] === '(') return this.inParentheses(depth)
    if (this.text.startsWith('1/', this.at)) {
      this.at++
      return []
    }
    const symbol = this.match(SYMBOL)
    if (symbol === null) return this.missing()
    const meaning = meaningOf(symbol)
    if (!meaning) return unknownSymbol(this.text, symbol)
    return meaning.offset ? notAlone(symbol) : [{ symbol, meaning, exponent: 1 }]
  }

  private inParentheses(depth: number): readonly Factor[] | UnitFault {
    if (depth === DEEPEST)
      return { message: `A unit may hold ${DEEPEST} parentheses inside one another, no more.`, mend: null }
    this.at++
    const inside = this.product(depth + 1)
    if ('message' in inside) return inside
    if (this.text[this.at] !== ')') {
      const ended = this.at === this.text.length
      return ended
        ? { message: `In the unit ${this.text} a parenthesis is not closed.`, mend: `Write ${this.text}).` }
        : this.unexpected(inside)
    }
    this.at++
    return inside
  }

  /** The power after a base: 1 where none is written. */
  private exponent(): number | UnitFault {
    const raised = this.match(RAISED_POWER)
    if (raised !== null) return Number([...raised].map(each => (each === '⁻' ? '-' : RAISED.indexOf(each))).join(''))
    if (this.text[this.at] !== '^') return 1
    this.at++
    const written = this.match(POWER)
    if (written === null)
      return {
        message: `In the unit ${this.text} a number must follow ^.`,
        mend: 'Write a power such as ^2 or ^(1/2).',
      }
    const [over, under] = written.replace(/[()]/g, '').split('/')
    const value = Number(over) / Number(under ?? 1)
    if (Number.isFinite(value)) return value
    return {
      message: `In the unit ${this.text} a power is divided by zero.`,
      mend: 'Write a power such as ^2 or ^(1/2).',
    }
  }

  private match(pattern: RegExp): string | null {
    pattern.lastIndex = this.at
    const found = pattern.exec(this.text)
    if (!found) return null
    this.at = pattern.lastIndex
    return found[0]
  }

  private missing(): UnitFault {
    const left = this.text.slice(this.at)
    const fault =
      left === ''
        ? `The unit ${this.text} stops too early: a symbol must follow.`
        : `In the unit ${this.text} a symbol must stand before ${left}.`
    const trimmed = this.text.replace(/[*·⋅/^]+$/, '')
    const whole = left === '' && trimmed !== '' && trimmed !== this.text && 'unit' in parseUnit(trimmed)
    return { message: fault, mend: whole ? `Write ${trimmed}, or the rest of the unit.` : null }
  }

  private unexpected(before: readonly Factor[]): UnitFault {
    const left = this.text.slice(this.at)
    const better = before.length > 0 ? suggestUnit(this.text) : null
    return {
      message: `In the unit ${this.text}, ${left} is not understood.`,
      mend: better ? `Write ${better}.` : 'Join units with * and /, and write powers with ^.',
    }
  }
}

/** A fault when one symbol's power is beyond the limit. */
function tooHigh(text: string, factors: readonly Factor[]): UnitFault | null {
  const worst = factors.find(each => Math.abs(each.exponent) > LARGEST_POWER)
  if (!worst) return null
  return {
    message: `The unit ${text} raises ${worst.symbol} to a power beyond ${LARGEST_POWER}, the largest there is.`,
    mend: null,
  }
}

function notAlone(symbol: string): UnitFault {
  return {
    message: `${symbol.replace('°', 'deg')} is a reading on a temperature scale, so it cannot be part of another unit.`,
    mend: 'Write K for a difference of temperature.',
  }
}
