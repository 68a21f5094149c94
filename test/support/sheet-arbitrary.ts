import fc from 'fast-check'
import { type LineParts, lineParts } from '../../grammar/print.ts'
import type {
  Condition,
  Each,
  Expression,
  Name,
  Part,
  Reference,
  Slot,
  Statement,
  TableRow,
  UnitText,
} from '../../grammar/tree.ts'
import { plainUnit } from '../../grammar/unit-text.ts'
import { isConnective, isFirstWord, isReserved } from '../../grammar/words.ts'

// Random sheets as trees, of every form of the language. Spans are all the same: a tree says what a sheet means, and
// `sheetText` writes it. What is generated is right by the grammar, not by meaning: names are known by nobody.

const span = { line: 1, column: 1, length: 1 }

/** A word of a name, in several scripts; never a connective. */
const word: fc.Arbitrary<string> = fc
  .oneof(
    { weight: 6, arbitrary: fc.stringMatching(/^[a-z][a-z0-9]{0,7}$/) },
    {
      weight: 2,
      arbitrary: fc.constantFrom(
        'mass',
        'thrust',
        'least',
        'most',
        'steps',
        'roomiest',
        'fact',
        'each',
        'table',
        'constructor',
        'toString',
      ),
    },
    { weight: 1, arbitrary: fc.constantFrom('größe', 'масса', '质量', 'μάζα', 'कुल', 'q2', 'Δv', 'é', 'e1', 'g0') },
  )
  .filter(each => !isConnective(each))

const nameText = fc.array(word, { minLength: 1, maxLength: 3 }).map(words => words.join(' '))

function named(text: string): Name {
  return { text, span }
}

/** Any name, as it may be used. */
export const name: fc.Arbitrary<Name> = nameText.map(named)
/** A name that may be declared. */
export const declared: fc.Arbitrary<Name> = nameText.filter(text => !isReserved(text)).map(named)

const slotName = nameText.filter(text => !isFirstWord(text.split(' ')[0]!)).map(named)

const reference: fc.Arbitrary<Reference> = fc.record({ name, of: fc.option(name, { nil: null }) })

const unit: fc.Arbitrary<UnitText> = fc
  .constantFrom(
    'kg',
    'm/s^2',
    '%',
    '1/s',
    'kN*s',
    'J/(kg*K)',
    'm^-1',
    'g0',
    'm^(1/2)',
    'µm',
    'deg',
    'e3',
    's^-2*kg',
    'K',
  )
  .map(text => ({ text, span }))

const digits = fc.constantFrom('0', '1', '2', '12', '0.5', '.5', '2.50', '1e5', '1E-3', '6.02e+23', '100', '007')

type NumberNode = Extract<Expression, { kind: 'number' }>

const reading: fc.Arbitrary<NumberNode> = fc
  .record({ sign: fc.constantFrom('', '-'), digits, unit: fc.constantFrom('degC', 'degF') })
  .map(each => numberNode(each.sign + each.digits, { text: each.unit, span }))

const number: fc.Arbitrary<NumberNode> = fc.oneof(
  { weight: 8, arbitrary: fc.tuple(digits, fc.option(unit, { nil: null })).map(([text, of]) => numberNode(text, of)) },
  { weight: 1, arbitrary: reading },
)

function numberNode(text: string, unit: UnitText | null): NumberNode {
  return { kind: 'number', text, value: Number(text), unit, span }
}

interface Nodes {
  readonly expression: Expression
  readonly condition: Condition
}

const nodes = fc.letrec<Nodes>(
  (tie: fc.LetrecTypedTie<Nodes>): fc.LetrecValue<Nodes> => ({
    expression: fc.oneof(
      { maxDepth: 4, depthIdentifier: 'expression' },
      number,
      reference.map((each): Expression => ({ kind: 'reference', ...each, span })),
      fc
        .record({
          name,
          of: fc.option(name, { nil: null }),
          args: fc.array(tie('expression'), { minLength: 1, maxLength: 3 }),
        })
        .map((each): Expression => ({ kind: 'call', ...each, span })),
      fc
        .record({ operator: fc.constantFrom('+', '-'), arg: tie('expression') })
        .map((each): Expression => ({ kind: 'sign', ...each, span })),
      fc
        .record({
          operator: fc.constantFrom('+', '-', '*', '/', '^'),
          left: tie('expression'),
          right: tie('expression'),
        })
        .map((each): Expression => ({ kind: 'binary', ...each, span })),
      fc
        .record({ test: tie('condition'), yes: tie('expression'), no: tie('expression') })
        .map((each): Expression => ({ kind: 'if', ...each, span })),
    ),
    condition: fc.oneof(
      { maxDepth: 3, depthIdentifier: 'expression' },
      fc
        .record({
          operator: fc.constantFrom('<', '<=', '>', '>=', '='),
          left: tie('expression'),
          right: tie('expression'),
        })
        .map((each): Condition => ({ kind: 'compare', ...each, span })),
      fc
        .record({ kind: fc.constantFrom('both', 'either'), left: tie('condition'), right: tie('condition') })
        .map((each): Condition => ({ ...each, span })),
      tie('condition').map((arg): Condition => ({ kind: 'not', arg, span })),
    ),
  }),
)

export const { expression, condition } = nodes

const comment = fc.option(
  fc
    .oneof(
      fc.constantFrom('in vacuum', '# twice', '"quoted"', 'a = b'),
      fc.string({ unit: 'grapheme', minLength: 1, maxLength: 12 }),
    )
    .filter(isComment),
  { nil: null, freq: 3 },
)

function isComment(text: string): boolean {
  return text.trim() === text && text !== '' && !/[\r\n]/.test(text)
}

const quoted = fc.oneof(
  fc.constantFrom('Heron 3', 'data.csv', 'a # b', ''),
  fc.string({ maxLength: 10 }).filter(text => !/["\r\n]/.test(text)),
)
const file = quoted.map(text => ({ text, span }))
const line = { span: fc.constant(span), comment }

export const slot: fc.Arbitrary<Slot> = fc.record({ name: slotName, value: expression, ...line })

/** The ends of a range and its step; where one number among them has a unit, all have one but a zero. */
const range = fc.record({ from: expression, to: expression, step: expression }).filter(({ from, to, step }) => {
  const numbers = [from, to, step].map(literal).filter(each => each !== null)
  return !numbers.some(each => each.unit) || numbers.every(each => each.unit || each.value === 0)
})

function literal(of: Expression): NumberNode | null {
  return of.kind === 'sign' ? literal(of.arg) : of.kind === 'number' ? of : null
}

const part: fc.Arbitrary<Part> = fc.record({
  kind: fc.constantFrom('stage', 'parachute'),
  name: declared,
  slots: fc.array(slot, { maxLength: 3 }),
  ...line,
})

const cell: fc.Arbitrary<Expression> = fc.oneof(
  { weight: 3, arbitrary: number },
  {
    weight: 1,
    // A sign goes into a reading, so none stands over one.
    arbitrary: fc
      .record({
        operator: fc.constantFrom('+', '-'),
        arg: number.filter(each => !/^deg[CF]$/.test(each.unit?.text ?? '')),
      })
      .map(
        (each): Expression => ({
          kind: 'sign',
          ...each,
          span,
        }),
      ),
  },
)

const rows: fc.Arbitrary<TableRow[]> = fc.integer({ min: 2, max: 4 }).chain(count =>
  fc.array(fc.record({ cells: fc.array(cell, { minLength: count, maxLength: count }), ...line }), {
    minLength: 1,
    maxLength: 4,
  }),
)

const each: fc.Arbitrary<Each> = fc.oneof(
  fc.record({
    kind: fc.constant('over' as const),
    name: reference,
    values: fc.array(
      fc.oneof(
        expression,
        quoted.map(text => ({ kind: 'text' as const, text, span })),
      ),
      { minLength: 1, maxLength: 3 },
    ),
    ...line,
  }),
  fc
    .record({ kind: fc.constant('steps' as const), name: reference, range, ...line })
    .map(({ range, ...rest }) => ({ ...rest, ...range })),
)

const limit = fc.oneof(
  fc.record({ kind: fc.constantFrom('at least' as const, 'at most' as const), value: expression }),
  range.map(({ from, to }) => ({ kind: 'within' as const, from, to })),
  fc.record({
    kind: fc.constant('equal to' as const),
    value: expression,
    tolerance: fc.option(expression, { nil: null }),
  }),
)

const kind = <Kind extends string>(of: Kind): { readonly kind: fc.Arbitrary<Kind> } => ({ kind: fc.constant(of) })

/** Statements of every kind but `sheet`, with their blocks. */
export const statement: fc.Arbitrary<Statement> = fc.oneof(
  fc.record({
    ...kind('fact'),
    name: declared,
    value: expression,
    error: fc.option(expression, { nil: null }),
    ...line,
  }),
  fc
    .record({ ...kind('lever'), name: declared, range, stepped: fc.boolean(), ...line })
    .map(({ range, stepped, ...rest }) => ({ ...rest, ...range, step: stepped ? range.step : null })),
  fc.record({ ...kind('figure'), name: declared, value: expression, ...line }),
  fc.record({
    ...kind('target'),
    level: fc.constantFrom('must', 'should', 'could'),
    value: expression,
    limit,
    ...line,
  }),
  fc.record({ ...kind('aim'), sense: fc.constantFrom('least', 'most'), value: expression, ...line }),
  fc.record({ ...kind('aim'), sense: fc.constant('roomiest' as const), value: fc.constant(null), ...line }),
  fc.record({ ...kind('show'), name: reference, unit, ...line }),
  fc.record({ ...kind('table'), name: declared, argument: name, rows, file: fc.constant(null), ...line }),
  fc.record({ ...kind('table'), name: declared, argument: name, rows: fc.constant([]), file, ...line }),
  fc.record({ ...kind('body'), name: declared, slots: fc.array(slot, { maxLength: 3 }), ...line }),
  fc.record({
    ...kind('flight'),
    name: declared,
    body: name,
    slots: fc.array(slot, { maxLength: 3 }),
    parts: fc.array(part, { maxLength: 2 }),
    ...line,
  }),
  fc.record({
    ...kind('variants'),
    name: fc.option(name, { nil: null }),
    each: fc.array(each, { minLength: 1, maxLength: 3 }),
    file: fc.constant(null),
    ...line,
  }),
  fc.record({ ...kind('variants'), name: fc.option(name, { nil: null }), each: fc.constant([]), file, ...line }),
)

const title: fc.Arbitrary<Statement> = fc.record({ ...kind('sheet'), title: quoted, ...line })

/** Whole sheets; slots of a flight come before its stages and parachutes, as the text of a tree has them. */
export const statements: fc.Arbitrary<readonly Statement[]> = fc
  .tuple(fc.option(title, { nil: null }), fc.array(statement, { maxLength: 6 }))
  .map(([first, rest]) => (first ? [first, ...rest] : rest))

/** A sheet as text, plainly laid out. */
export function sheetText(all: readonly Statement[]): string {
  return all.flatMap(statementLines).join('')
}

function statementLines(statement: Statement): string[] {
  const head = lineText(lineParts(statement), statement.comment, 0)
  const slots = 'slots' in statement ? statement.slots.map(each => slotText(each, 1)) : []
  const parts =
    'parts' in statement
      ? statement.parts.flatMap(each => [
          lineText(lineParts(each), each.comment, 1),
          ...each.slots.map(one => slotText(one, 2)),
        ])
      : []
  const tableRows =
    'rows' in statement ? statement.rows.map(row => lineText(lineParts({ kind: 'row', ...row }), row.comment, 1)) : []
  const varied = 'each' in statement ? statement.each.map(one => lineText(lineParts(one), one.comment, 1)) : []
  return [head, ...slots, ...parts, ...tableRows, ...varied]
}

function slotText(slot: Slot, level: number): string {
  return lineText(lineParts({ kind: 'slot', name: slot.name, value: slot.value }), slot.comment, level)
}

function lineText(parts: LineParts, comment: string | null, level: number): string {
  const words = [parts.first, ...parts.columns, parts.rest].filter(text => text !== '').join(' ')
  return `${'  '.repeat(level)}${words}${comment === null ? '' : ` # ${comment}`}\n`
}

function meaningOfUnit(unit: UnitText | null): string | null {
  return unit && plainUnit(unit.text)
}

/** A tree, or any part of one, without its spans and with units in plain form: what it means. */
export function meaning(tree: unknown): unknown {
  if (Array.isArray(tree)) return tree.map(meaning)
  if (typeof tree !== 'object' || tree === null) return tree
  const entries = Object.entries(tree).filter(([key]) => key !== 'span')
  return Object.fromEntries(
    entries.map(([key, value]) => [key, key === 'unit' ? meaningOfUnit(value) : meaning(value)]),
  )
}
