import type { Condition, Expression } from '../../grammar/tree.ts'

// How loosely an expression holds together, as in the tidy printer: what is looser than its place wants stands in parentheses.
const IF = 0
const SUM = 1
const PRODUCT = 2
const SIGNED = 3
const POWER = 4
const ATOM = 5

/** A piece of a spelled expression that stands by itself: its text, and how tightly it holds together. */
export interface Atom {
  readonly text: string
  readonly tightness: 'atom' | 'with unit' | 'signed'
}

/** How an expression is spelled: its signs, and what stands for its names, numbers and calls. */
export interface Spelling {
  readonly times: string
  readonly minus: string
  readonly atom: (expression: Extract<Expression, { kind: 'number' | 'reference' }>) => Atom
  /** What stands for a whole call, or null: it is spelled out. */
  readonly call: (call: Extract<Expression, { kind: 'call' }>) => Atom | null
  /** The way a condition goes, or null: all of it is spelled out. */
  readonly branch: (choice: Extract<Expression, { kind: 'if' }>) => Expression | null
}

interface Spelled {
  readonly text: string
  readonly tightness: number
}

/** An expression in a spelling, with no parentheses but those that its meaning needs. */
export function spell(expression: Expression, spelling: Spelling): string {
  return spelled(expression, spelling).text
}

function spelled(expression: Expression, spelling: Spelling): Spelled {
  switch (expression.kind) {
    case 'number':
    case 'reference':
      return ofAtom(spelling.atom(expression))
    case 'call': {
      const whole = spelling.call(expression)
      if (whole) return ofAtom(whole)
      const args = expression.args.map(arg => spell(arg, spelling)).join(', ')
      const of = expression.of ? ` of ${expression.of.text}` : ''
      return { text: `${expression.name.text}(${args})${of}`, tightness: ATOM }
    }
    case 'sign': {
      if (expression.operator === '+') return spelled(expression.arg, spelling)
      return { text: spelling.minus + inside(expression.arg, SIGNED, spelling), tightness: SIGNED }
    }
    case 'binary':
      return binary(expression, spelling)
    case 'if': {
      const way = spelling.branch(expression)
      if (way) return spelled(way, spelling)
      const [yes, no] = [expression.yes, expression.no].map(each => spell(each, spelling))
      return { text: `if ${condition(expression.test, 0, spelling)} then ${yes} else ${no}`, tightness: IF }
    }
  }
}

function ofAtom({ text, tightness }: Atom): Spelled {
  // A number with its unit is a factor like any other, but no base of a power.
  return { text, tightness: { atom: ATOM, 'with unit': SIGNED, signed: IF }[tightness] }
}

function inside(expression: Expression, least: number, spelling: Spelling): string {
  const { text, tightness } = spelled(expression, spelling)
  return tightness < least ? `(${text})` : text
}

function binary({ operator, left, right }: Extract<Expression, { kind: 'binary' }>, spelling: Spelling): Spelled {
  if (operator === '^')
    return { text: `${inside(left, ATOM, spelling)}^${inside(right, ATOM, spelling)}`, tightness: POWER }
  const own = operator === '*' || operator === '/' ? PRODUCT : SUM
  const sign = { '*': spelling.times, '/': '/', '+': '+', '-': spelling.minus }[operator]
  return { text: `${inside(left, own, spelling)} ${sign} ${inside(right, own + 1, spelling)}`, tightness: own }
}

/** A condition in a spelling, at a place that wants it to hold together at least so tightly. */
export function condition(test: Condition, least: 0 | 1 | 2, spelling: Spelling): string {
  switch (test.kind) {
    case 'compare':
      return `${inside(test.left, SUM, spelling)} ${test.operator} ${inside(test.right, SUM, spelling)}`
    case 'not':
      return `not ${condition(test.arg, 2, spelling)}`
    case 'both': {
      const text = `${condition(test.left, 1, spelling)} and ${condition(test.right, 2, spelling)}`
      return least > 1 ? `(${text})` : text
    }
    case 'either': {
      const text = `${condition(test.left, 0, spelling)} or ${condition(test.right, 1, spelling)}`
      return least > 0 ? `(${text})` : text
    }
  }
}
