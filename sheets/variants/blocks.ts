import { referenceText } from '../../grammar/print.ts'
import { error, type Problem, type Span } from '../../grammar/source.ts'
import type { Each, Expression, Statement } from '../../grammar/tree.ts'
import { baseUnit } from '../../grammar/units/choose.ts'
import { describe, same } from '../../grammar/units/dimension.ts'
import type { Expr } from '../../solver/index.ts'
import { type Surroundings, toldAsReading } from '../open/checked.ts'
import { literalIn } from '../open/declare.ts'
import { bareMend, unitMend } from '../open/disagree.ts'
import { elaborate } from '../open/expression.ts'
import { unitForgotten, unitOf } from '../open/targets.ts'
import type { EachLine, VariantBlock, Varied } from './block.ts'
import { type Known, movedBy } from './moved.ts'

type VariantsStatement = Extract<Statement, { kind: 'variants' }>

/** Reads a block of variants; what is wrong is added to the problems. */
export function elaborateVariants(statement: VariantsStatement, known: Known, around: Surroundings): VariantBlock {
  const lines: EachLine[] = []
  for (const each of statement.each) {
    const line = elaborateEach(each, known, around)
    if (!line) continue
    const twice = lines.find(other => other.varied.name === line.varied.name)
    if (twice) around.problems.push(twiceVaried(line, twice))
    else lines.push(line)
  }
  return {
    name: statement.name?.text ?? null,
    span: statement.span,
    lines,
    file: statement.file?.text ?? null,
  }
}

function twiceVaried(line: EachLine, first: EachLine): Problem {
  return error(line.span, `"${line.varied.name}" varies twice in this block.`, 'Put all its values into one line.', [
    { ...first.span, message: 'here it varies first' },
  ])
}

function elaborateEach(each: Each, known: Known, around: Surroundings): EachLine | null {
  const varied = movedBy(referenceText(each.name), known)
  const { problems } = around
  if ('fault' in varied) {
    problems.push(error(each.name.name.span, varied.fault, varied.mend))
    return null
  }
  if (varied.moved.kind === 'limit' && varied.moved.ends === 2) {
    problems.push(
      error(
        each.name.name.span,
        `"${varied.name}" has two ends, and a line of variants moves one number.`,
        'Vary it in a file, with cells such as "100 to 110"; or make its ends facts and vary those.',
      ),
    )
    return null
  }
  return varied.dimension === null ? wordsLine(each, varied, around) : numbersLine(each, varied, around)
}

/** Bodies and labels: quoted, or names. */
function wordsLine(each: Each, varied: Varied, { problems }: Surroundings): EachLine | null {
  const words = each.kind === 'over' ? each.values.map(wordOf) : [null]
  if (words.every(word => word !== null)) return { varied, span: each.span, values: { kind: 'list', list: words } }
  problems.push(
    error(
      each.span,
      `"${varied.name}" varies over names.`,
      `Write each ${varied.name} over "Earth", "Mars", for example.`,
    ),
  )
  return null
}

function wordOf(value: Expression | { kind: 'text'; text: string; span: Span }): { text: string; span: Span } | null {
  if (value.kind === 'text') return { text: value.text, span: value.span }
  return value.kind === 'reference' && !value.of ? { text: value.name.text, span: value.span } : null
}

function numbersLine(each: Each, varied: Varied, around: Surroundings): EachLine | null {
  const trees =
    each.kind === 'steps'
      ? [each.from, each.to, each.step]
      : each.values.flatMap(value => (value.kind === 'text' ? [] : [value]))
  const words = each.kind === 'over' ? each.values.find(value => value.kind === 'text') : undefined
  if (words) {
    around.problems.push(
      error(words.span, `"${varied.name}" varies over numbers; this is text.`, 'Write numbers with their units there.'),
    )
    return null
  }
  if (each.kind === 'steps' && trees.slice(1).some(tree => unitForgotten(each.from, tree, around))) return null
  const exprs = trees.map((tree, place) => numberOf(tree, varied, around, each.kind === 'steps' && place === 2))
  if (!exprs.every(expr => expr !== null)) return null
  const dimension = varied.dimension!
  const unit = trees.map(tree => unitOf(tree, dimension)).find(found => found) ?? varied.unit ?? baseUnit(dimension)
  const literal = (tree: Expression): number | null => {
    const found = literalIn(tree, unit)
    return found ? Number(found.digits) / 10 ** found.places : null
  }
  if (each.kind === 'over')
    return {
      varied: { ...varied, unit },
      span: each.span,
      values: {
        kind: 'list',
        list: exprs.map((expr, i) => ({ expr, literal: literal(trees[i]!), span: trees[i]!.span })),
      },
    }
  const [from, to, step] = exprs as [Expr, Expr, Expr]
  const written = {
    unit,
    from: literalIn(each.from, unit),
    to: literalIn(each.to, unit),
    step: literalIn(each.step, unit),
  }
  return { varied: { ...varied, unit }, span: each.span, values: { kind: 'steps', from, to, step, written } }
}

/** A value's expression, of the varied quantity's own kind; a step is a difference of two. */
function numberOf(tree: Expression, varied: Varied, around: Surroundings, step: boolean): Expr | null {
  const checked = elaborate(tree, around)
  if (!checked) return null
  if (same(checked.dimension, varied.dimension!))
    return step && toldAsReading('A step', checked, tree.span, around) ? null : checked.expr
  around.problems.push(
    error(
      tree.span,
      `"${varied.name}" is ${describe(varied.dimension!)}; this is ${describe(checked.dimension)}.`,
      bareMend(tree, checked, { dimension: varied.dimension!, unit: varied.unit }) ?? unitMend(varied.dimension!),
    ),
  )
  return null
}
