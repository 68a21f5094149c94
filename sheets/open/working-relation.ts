import { parse } from '../../grammar/parse.ts'
import type { Condition, Expression } from '../../grammar/tree.ts'
import { baseUnit, displayUnit } from '../../grammar/units/choose.ts'
import type { Dimension } from '../../grammar/units/dimension.ts'
import { isReading, type Unit } from '../../grammar/units/unit.ts'
import type { WorkingRelation } from '../working.ts'
import { unitOurs } from './kinds.ts'
import { showApart } from './working-apart.ts'
import { airNote, isAir, tableNote } from './working-call.ts'
import { type Desk, inputOf, type Lookup, type Node, valueText } from './working-node.ts'
import { type Atom, condition, type Spelling, spell } from './working-spell.ts'

/** A relation laid out, and the quantities that it reads. */
export interface Related {
  readonly part: WorkingRelation
  readonly reads: readonly Node[]
}

/** What a relation gives: its value and the unit it is shown in. */
export type Result = Pick<Node, 'si' | 'unit' | 'text'>

/** A relation of ours, written in the language of sheets over names that `nodes` gives. */
export function ownRelation(desk: Desk, text: string, nodes: Readonly<Record<string, Node>>, result: Result): Related {
  const statement = parse(`figure relation = ${text}`).statements[0]
  if (statement?.kind !== 'figure') throw new Error(`a relation of ours that cannot be read: ${text}`)
  return relationOf(desk, statement.value, name => nodes[name.text] ?? null, null, result)
}

/** A written relation in names and in numbers. `mach`: the argument of a drag coefficient. */
export function relationOf(
  desk: Desk,
  expression: Expression,
  lookup: Lookup,
  mach: Node | null,
  result: Result,
): Related {
  const known: Lookup = (name, of) => (mach && of === null && name.text === 'mach' ? mach : lookup(name, of))
  const finer = new Map<string, string>()
  const find: Lookup = (name, of) => {
    const node = known(name, of)
    const text = node ? finer.get(node.key) : undefined
    return node && text !== undefined ? { ...node, text } : node
  }
  const at = mach ? mach.si : null
  const reads = new Map<string, Node>()
  const put = new Map<string, Node>()
  const notes: string[] = []
  const numbers: Spelling = {
    times: '×',
    minus: '−',
    atom: each => (each.kind === 'number' ? literal(each) : numberAtom(each, find, put, valueAtom)),
    call: call => callAtom(desk, call, at, valueAtom),
    branch: choice => branchOf(desk, choice, at),
  }
  const exact: Spelling = {
    times: '*',
    minus: '-',
    atom: each => (each.kind === 'number' ? literal(each) : numberAtom(each, find, put, exactAtom)),
    call: call => callAtom(desk, call, at, exactAtom),
    branch: choice => branchOf(desk, choice, at),
  }
  walk(expression, true, (each, taken) => {
    if (each.kind === 'binary') showApart(each, known, finer)
    const node = each.kind === 'reference' ? find(each.name, each.of) : null
    if (node) reads.set(node.key, node)
    if (each.kind === 'if' && taken) notes.push(branchNote(desk, each, at, numbers))
    if (each.kind !== 'call' || !taken) return branchOf(desk, each, at)
    const note = callNote(desk, each, at, numbers)
    if (note && !notes.includes(note)) notes.push(note)
    return null
  })
  const text = spell(expression, { ...namesSpelling(find), times: '×', minus: '−' })
  put.clear()
  const numbersText = spell(expression, numbers)
  const inputs = [...put.values()]
  const whole = inputs.every(node => Number.isFinite(node.si))
  return {
    part: {
      kind: 'relation',
      relation: text,
      notes,
      numbers: numbersText,
      exact: whole ? spell(expression, exact) : null,
      result: resultText(result),
      inputs: inputs.map(inputOf),
    },
    reads: [...reads.values()],
  }
}

/** Goes through an expression; `see` tells of a condition which way is taken, null where it does not say. */
function walk(
  expression: Expression,
  taken: boolean,
  see: (expression: Expression, taken: boolean) => Expression | null,
): void {
  const way = see(expression, taken)
  if (expression.kind === 'call') for (const arg of expression.args) walk(arg, taken, see)
  else if (expression.kind === 'sign') walk(expression.arg, taken, see)
  else if (expression.kind === 'binary') for (const side of sidesOf(expression)) walk(side, taken, see)
  else if (expression.kind === 'if') {
    for (const side of comparedIn(expression.test)) walk(side, taken, see)
    for (const each of [expression.yes, expression.no]) walk(each, taken && each === way, see)
  }
}

function sidesOf({ left, right }: Extract<Expression, { kind: 'binary' }>): readonly Expression[] {
  return [left, right]
}

function comparedIn(test: Condition): readonly Expression[] {
  if (test.kind === 'compare') return [test.left, test.right]
  return test.kind === 'not' ? comparedIn(test.arg) : [...comparedIn(test.left), ...comparedIn(test.right)]
}

function namesSpelling(find: Lookup): Omit<Spelling, 'times' | 'minus'> {
  return {
    atom: each => {
      if (each.kind === 'number') return literal(each)
      const written = each.of ? `${each.name.text} of ${each.of.text}` : each.name.text
      const text = find(each.name, each.of)?.name ?? written
      // "speed at max q^2" would read as the square of q.
      return { text, tightness: / (at|of) /.test(text) ? 'with unit' : 'atom' }
    },
    call: () => null,
    branch: () => null,
  }
}

function literal({ text, unit }: Extract<Expression, { kind: 'number' }>): Atom {
  return unit ? { text: `${text} ${unit.text}`, tightness: 'with unit' } : { text, tightness: 'atom' }
}

type AtomOf = (si: number, unit: Unit, text: string) => Atom

function numberAtom(
  reference: Extract<Expression, { kind: 'reference' }>,
  find: Lookup,
  put: Map<string, Node>,
  atomOf: AtomOf,
): Atom {
  const node = find(reference.name, reference.of)
  if (!node) return { text: reference.name.text, tightness: 'atom' }
  put.set(node.key, node)
  return atomOf(node.si, node.unit, node.text)
}

/** As shown; a reading of a thermometer in kelvins, with which one can reckon. */
const valueAtom: AtomOf = (si, unit, shown) => {
  // Settings are shown as they are written, with a hyphen for their sign.
  const text = (isReading(unit) ? valueText(si, baseUnit(unit.dimension)) : shown).replace(/^-/, '−')
  return { text, tightness: text.startsWith('−') ? 'signed' : text.includes(' ') ? 'with unit' : 'atom' }
}

/** The double itself, in base units. */
const exactAtom: AtomOf = (si, { dimension }) => ({
  text: `${si} ${baseUnit(dimension).text}`.trim(),
  tightness: 'signed',
})

function callAtom(
  desk: Desk,
  call: Extract<Expression, { kind: 'call' }>,
  mach: number | null,
  atomOf: AtomOf,
): Atom | null {
  if (!desk.around.table(call.name.text) && !isAir(call.name.text)) return null
  const value = worthOf(desk, call, mach)
  return value && atomOf(value.si, value.unit, valueText(value.si, value.unit))
}

/** The value of a part of an expression, and a unit to show it in. */
function worthOf(
  desk: Desk,
  expression: Expression,
  mach: number | null,
): { readonly si: number; readonly unit: Unit; readonly dimension: Dimension } | null {
  const checked = desk.checked(expression, mach)
  if (!checked) return null
  const si = desk.values([checked.expr])[0]!
  return { si, unit: displayUnit(checked.dimension, si), dimension: checked.dimension }
}

function callNote(
  desk: Desk,
  call: Extract<Expression, { kind: 'call' }>,
  mach: number | null,
  numbers: Spelling,
): string | null {
  const table = desk.around.table(call.name.text)
  if (!table && !isAir(call.name.text)) return null
  const argument = worthOf(desk, call.args[0]!, mach)
  const value = worthOf(desk, call, mach)
  if (!argument || !value) return null
  const head = `${call.name.text}(${spell(call.args[0]!, numbers)})`
  if (table) return tableNote(desk, head, table, argument.si, value.si)
  return airNote(desk, call, head, valueText(value.si, value.unit))
}

const TRUTH: readonly Expression[] = [1, 0].map(value => ({
  kind: 'number',
  text: String(value),
  value,
  unit: null,
  span: { line: 0, column: 0, length: 0 },
}))

/** The way that a condition goes at this point; null where that cannot be told, or it is no condition. */
function branchOf(desk: Desk, choice: Expression, mach: number | null): Expression | null {
  if (choice.kind !== 'if') return null
  const truth = worthOf(desk, { ...choice, yes: TRUTH[0]!, no: TRUTH[1]! }, mach)?.si
  return truth === 1 ? choice.yes : truth === 0 ? choice.no : null
}

function branchNote(
  desk: Desk,
  choice: Extract<Expression, { kind: 'if' }>,
  mach: number | null,
  numbers: Spelling,
): string {
  const way = branchOf(desk, choice, mach)
  const test = condition(choice.test, 0, numbers)
  if (!way) return `whether ${test} cannot be told, so neither way is taken`
  return way === choice.yes ? `${test} holds: the way after "then"` : `${test} does not hold: the way after "else"`
}

const METRES = unitOurs('m/s^2')

/** The result; a felt acceleration in base units first, as the numbers give it. */
export function resultText({ si, unit, text }: Result): string {
  return unit.text === 'g0' && Number.isFinite(si) ? `${valueText(si, METRES)} = ${text}` : text
}

/** Whether an expression is a number as written, of which there is nothing to work out. */
export function isWritten(expression: Expression): boolean {
  return expression.kind === 'number' || (expression.kind === 'sign' && isWritten(expression.arg))
}
