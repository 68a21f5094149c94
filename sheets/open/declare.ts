import { error } from '../../grammar/source.ts'
import type { Expression } from '../../grammar/tree.ts'
import { baseUnit } from '../../grammar/units/choose.ts'
import { type Dimension, isNone } from '../../grammar/units/dimension.ts'
import { parseUnit, type Unit } from '../../grammar/units/unit.ts'
import { elaborateBody } from './body.ts'
import { type Surroundings, sameOrSay, toldAsReading } from './checked.ts'
import { decimalFrom } from './decimal.ts'
import { declareFlight } from './declare-flight.ts'
import { elaborate } from './expression.ts'
import { addQuantity, type Growing, hangsOnLever, type Info } from './opened.ts'
import type { Declared, Scope } from './scope.ts'
import { elaborateTable, type Load } from './table.ts'
import { elaborateTolerance, unitForgotten, unitOf } from './targets.ts'

/** Takes one declaration into the growing sheet; all that it reads is there already. */
export function declare(
  declared: Declared,
  scope: Scope,
  growing: Growing,
  around: Surroundings,
  load: Load | null,
): void {
  switch (declared.kind) {
    case 'fact':
      declareFact(declared, growing, around)
      return
    case 'figure':
      declareFigure(declared, growing, around)
      return
    case 'lever':
      declareLever(declared, growing, around)
      return
    case 'table': {
      const table = elaborateTable(declared, load, growing.problems)
      if (table) growing.tableEntries.set(declared.name.text, table)
      return
    }
    case 'body': {
      const body = elaborateBody(declared, around)
      if (body) growing.bodyPlaces.set(declared.name.text, growing.bodies.push(body) - 1)
      return
    }
    case 'flight':
      declareFlight(declared, scope, growing, around)
  }
}

type Of<K extends Declared['kind']> = Extract<Declared, { kind: K }>

function declareFact(declared: Of<'fact'>, growing: Growing, around: Surroundings): void {
  const value = elaborate(declared.value, around)
  if (!value) return
  if (hangsOnLever(value.expr, growing)) {
    around.problems.push(
      error(
        declared.value.span,
        `A fact is known before any lever is set, but "${declared.name.text}" hangs on a lever.`,
        `Write "figure ${declared.name.text} = …" instead of "fact".`,
      ),
    )
    return
  }
  const halfWidth = declared.error && elaborateTolerance(declared.error, value, around)
  if (halfWidth && hangsOnLever(halfWidth, growing)) {
    around.problems.push(
      error(
        declared.error!.span,
        'An error after ± is known before any lever is set, but this one hangs on a lever.',
        'Give it by a number, or by facts alone.',
      ),
    )
    return
  }
  const { name } = declared
  const unit = unitOf(declared.value, value.dimension)
  const own = { unit, error: halfWidth, lever: null, hangs: false }
  addQuantity(growing, { role: 'fact', name: name.text, value: value.expr }, infoOf(declared, value.dimension, own))
}

type OwnInfo = Pick<Info, 'unit' | 'error' | 'lever' | 'hangs'>

function infoOf(
  { name, comment }: Of<'fact' | 'figure' | 'lever'>,
  dimension: Dimension,
  { unit, error, lever, hangs }: OwnInfo,
): Info {
  const { text, span } = name
  return { name: text, dimension, unit, description: comment, span, error, lever, figure: null, hidden: false, hangs }
}

function declareFigure(declared: Of<'figure'>, growing: Growing, around: Surroundings): void {
  const value = elaborate(declared.value, around)
  if (!value) return
  const { name } = declared
  const unit = unitOf(declared.value, value.dimension)
  const own = { unit, error: null, lever: null, hangs: hangsOnLever(value.expr, growing) }
  addQuantity(growing, { role: 'figure', name: name.text, value: value.expr }, infoOf(declared, value.dimension, own))
}

function declareLever(declared: Of<'lever'>, growing: Growing, around: Surroundings): void {
  const from = elaborate(declared.from, around)
  const to = elaborate(declared.to, around)
  const step = declared.step && elaborate(declared.step, around)
  if (!from || !to || (declared.step && !step)) return
  if (
    unitForgotten(declared.from, declared.to, around) ||
    (declared.step && unitForgotten(declared.from, declared.step, around))
  )
    return
  if (!sameOrSay(from, to, declared.from, declared.to, 'The two ends of a range are of one kind', around)) return
  if (
    declared.step &&
    step &&
    !sameOrSay(from, step, declared.from, declared.step, 'A step is of the same kind as its range', around)
  )
    return
  if (declared.step && step && toldAsReading('A step', step, declared.step.span, around)) return
  for (const [side, tree] of [
    [from, declared.from],
    [to, declared.to],
    [step, declared.step],
  ] as const)
    if (side && tree && hangsOnLever(side.expr, growing)) {
      around.problems.push(
        error(
          tree.span,
          'The range of a lever may hang on facts only; this hangs on another lever.',
          'Put the condition between the two levers in a target.',
        ),
      )
      return
    }
  const unit =
    [declared.from, declared.to, declared.step]
      .map(tree => tree && unitOf(tree, from.dimension))
      .find(found => found) ?? baseUnit(from.dimension)
  addQuantity(
    growing,
    // The range itself is made when solving, from the facts as they are then.
    { role: 'lever', name: declared.name.text, range: { from: 0, to: 0, settings: null, inward: x => x } },
    infoOf(declared, from.dimension, {
      unit,
      error: null,
      hangs: true,
      lever: {
        from: from.expr,
        to: to.expr,
        step: step?.expr ?? null,
        written: {
          unit,
          from: literalIn(declared.from, unit),
          to: literalIn(declared.to, unit),
          step: declared.step && literalIn(declared.step, unit),
        },
      },
    }),
  )
}

/** The decimal of a literal written in just this unit, or null. */
export function literalIn(tree: Expression, unit: Unit): ReturnType<typeof decimalFrom> {
  if (tree.kind === 'sign') {
    const inner = literalIn(tree.arg, unit)
    return inner && tree.operator === '-' ? { ...inner, digits: -inner.digits } : inner
  }
  if (tree.kind !== 'number') return null
  if (!tree.unit) return isNone(unit.dimension) && unit.text === '' ? decimalFrom(tree.text) : null
  const parsed = parseUnit(tree.unit.text)
  return 'unit' in parsed && parsed.unit.text === unit.text ? decimalFrom(tree.text) : null
}
