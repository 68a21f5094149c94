import { error, type Problem } from '../../grammar/source.ts'
import { fromSI, type Unit } from '../../grammar/units/unit.ts'
import { compile, type Expr, partsOf, start } from '../../solver/index.ts'
import type { Compiled } from '../open/compiled.ts'
import { leverRange } from '../open/range.ts'
import type { EachLine, VariantBlock } from './block.ts'

/** One value of a column: how it is shown, and what it is: SI numbers (of a band two), or words. */
export interface Choice {
  readonly shown: number | string
  readonly value: readonly number[] | string
}

/** The values of a line in their order: many steps are made ready only when they are asked for. */
export interface Choices {
  readonly length: number
  readonly at: (place: number) => Choice
}

/** Beyond, the steps are surely a slip. */
const MOST_VARIANTS = 1e9

/** The values of every `each` line of some blocks, worked out at the facts as set. What is wrong is added to the problems. */
export function choicesOf(
  blocks: readonly VariantBlock[],
  compiled: Compiled,
  facts: ReadonlyMap<number, number>,
  problems: Problem[],
): readonly (readonly Choices[])[] {
  const worth = worthOf(blocks, compiled, facts)
  return blocks.map(block => {
    const all = block.lines.map(line => choicesOfLine(line, worth, problems))
    const count = all.reduce((product, choices) => product * choices.length, 1)
    if (count > MOST_VARIANTS)
      problems.push(error(block.span, 'These are over a thousand million variants.', 'Vary less at a time.'))
    return all
  })
}

type Worth = (expr: Expr) => number | null

/** What expressions of known quantities are worth [SI]; null where they hang on a lever. */
function worthOf(blocks: readonly VariantBlock[], compiled: Compiled, facts: ReadonlyMap<number, number>): Worth {
  const exprs = blocks.flatMap(block =>
    block.lines.flatMap(({ values }) =>
      values.kind === 'steps'
        ? [values.from, values.to, values.step]
        : values.list.flatMap(value => ('expr' in value ? [value.expr] : [])),
    ),
  )
  if (exprs.every(expr => expr.op === 'const')) return expr => (expr.op === 'const' ? expr.value : null)
  const { model } = compiled.reading.opened
  const program = compile({ ...model, targets: [], aims: [] }, partsOf(model), exprs)
  const state = start(program)
  for (const [id, si] of facts) state.setFact(id, si)
  state.refresh()
  return expr => {
    const slot = program.extras[exprs.indexOf(expr)]!
    return slot < program.algebra ? state.values[slot]! : null
  }
}

function choicesOfLine({ varied, values, span }: EachLine, worth: Worth, problems: Problem[]): Choices {
  const { name, unit } = varied
  const known = (expr: Expr): number => {
    const si = worth(expr)
    if (si === null)
      problems.push(
        error(
          span,
          `The values of "${name}" are known before any lever is set; one of these hangs on a lever.`,
          'Give them by numbers and facts.',
        ),
      )
    else if (!Number.isFinite(si))
      problems.push(error(span, `A value of "${name}" is no finite number.`, 'Look at what it is worked out from.'))
    return si ?? Number.NaN
  }
  if (values.kind === 'list')
    return listed(
      values.list.map((value): Choice => {
        if ('text' in value) return { shown: oneLine(value.text), value: value.text }
        const si = known(value.expr)
        return { shown: value.literal ?? rounded(fromSI(si, unit!)), value: [si] }
      }),
    )
  const ends = [known(values.from), known(values.to), known(values.step)]
  if (!ends.every(Number.isFinite)) return NONE
  const range = leverRange(values.written, ends[0]!, ends[1]!, ends[2]!)
  if (typeof range === 'string') {
    const [words, mend] = FAULTS[range]
    problems.push(error(span, `The range of "${name}" ${words}`, mend))
    return NONE
  }
  const settings = range.range.settings!
  const at = (place: number): Choice => ({
    shown: Number(range.text(settings[place]!)),
    value: [settings[place]!],
  })
  return settings.length > MOST_READY ? { length: settings.length, at } : listed(Array.from(settings, (_, k) => at(k)))
}

/** Kept ready: a line runs through its values again and again while those above it stand still. */
const MOST_READY = 10_000

const NONE: Choices = listed([])

function listed(choices: readonly Choice[]): Choices {
  return { length: choices.length, at: place => choices[place]! }
}

const FAULTS = {
  'upside down': ['is upside down: it begins above its end.', 'Swap the two ends.'],
  'no width': ['has no width: both ends are the same.', 'Write "over" with its one value.'],
  'no step': ['has a step that is not above zero.', 'Write a step above zero.'],
  'too many': ['has over a million steps.', 'Make the step larger.'],
} as const

/** Rows of the result are lines: a cell holds no line break. */
export function oneLine(text: string): string {
  return text.replace(/\s+/g, ' ').trim()
}

/** Ten digits: more than any figure is good for, and no tails such as 60.99999999999999. */
export function rounded(value: number): number {
  return Number.isFinite(value) ? Number(value.toPrecision(10)) + 0 : value
}

/** A value in a unit, in ten digits. */
export function shownIn(si: number, unit: Unit): number {
  return rounded(fromSI(si, unit))
}
