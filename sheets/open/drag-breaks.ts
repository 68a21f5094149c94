import type { Expr, Test } from '../../solver/index.ts'

/**
 * The arguments at which an expression of `local` may have a knot or a jump: knots of its tables and the crossings of
 * its `if` tests, where these are straight lines in the argument. Rising, each once. Elsewhere the fit finds its own way.
 */
export function localBreaks(expr: Expr): readonly number[] {
  const found = new Set<number>()
  collect(expr, found)
  return [...found].filter(Number.isFinite).sort((a, b) => a - b)
}

function collect(expr: Expr, found: Set<number>): void {
  if (expr.op === 'curve') {
    const line = lineOf(expr.a)
    if (line && line.slope !== 0) for (const knot of expr.curve.knots) found.add((knot - line.at0) / line.slope)
  }
  if (expr.op === 'if') {
    collectTest(expr.test, found)
    collect(expr.yes, found)
    collect(expr.no, found)
    return
  }
  if ('a' in expr) collect(expr.a, found)
  if ('b' in expr) collect(expr.b, found)
}

function collectTest(test: Test, found: Set<number>): void {
  if (test.op === 'not') collectTest(test.a, found)
  else if (test.op === 'and' || test.op === 'or') {
    collectTest(test.a, found)
    collectTest(test.b, found)
  } else {
    collect(test.a, found)
    collect(test.b, found)
    const [a, b] = [lineOf(test.a), lineOf(test.b)]
    if (a && b && a.slope !== b.slope) found.add((b.at0 - a.at0) / (a.slope - b.slope))
  }
}

interface Line {
  readonly at0: number
  readonly slope: number
}

/** The expression as a straight line in `local` with written numbers only, or null. */
function lineOf(expr: Expr): Line | null {
  if (expr.op === 'const') return { at0: expr.value, slope: 0 }
  if (expr.op === 'local') return { at0: 0, slope: 1 }
  if (expr.op === 'neg') {
    const a = lineOf(expr.a)
    return a && { at0: -a.at0, slope: -a.slope }
  }
  if (!('b' in expr)) return null
  const [a, b] = [lineOf(expr.a), lineOf(expr.b)]
  if (!a || !b) return null
  if (expr.op === 'add') return { at0: a.at0 + b.at0, slope: a.slope + b.slope }
  if (expr.op === 'sub') return { at0: a.at0 - b.at0, slope: a.slope - b.slope }
  if (expr.op === 'mul' && a.slope * b.slope === 0)
    return { at0: a.at0 * b.at0, slope: a.slope * b.at0 + b.slope * a.at0 }
  if (expr.op === 'div' && b.slope === 0) return { at0: a.at0 / b.at0, slope: a.slope / b.at0 }
  return null
}

/** Whether an expression reads the block's own argument. */
export function readsLocal(expr: Expr): boolean {
  if (expr.op === 'local') return true
  if (expr.op === 'if') return testReadsLocal(expr.test) || readsLocal(expr.yes) || readsLocal(expr.no)
  return ('a' in expr && readsLocal(expr.a)) || ('b' in expr && readsLocal(expr.b))
}

function testReadsLocal(test: Test): boolean {
  if (test.op === 'not') return testReadsLocal(test.a)
  if (test.op === 'and' || test.op === 'or') return testReadsLocal(test.a) || testReadsLocal(test.b)
  return readsLocal(test.a) || readsLocal(test.b)
}
