import { describe, expect, test } from 'vitest'
import { type Expression, expressionText, parse, type Statement } from '../../grammar/index.ts'
import { heron } from '../support/heron.ts'
import { meaning } from '../support/sheet-arbitrary.ts'

/** What the only statement of a sheet means. */
function one(text: string): unknown {
  const tree = parse(text)
  expect(tree.problems).toEqual([])
  expect(tree.statements).toHaveLength(1)
  return meaning(tree.statements[0])
}

function number(text: string, unit: string | null = null): unknown {
  return { kind: 'number', text, value: Number(text), unit }
}

function name(text: string): unknown {
  return { text }
}

function reference(text: string, of: string | null = null): unknown {
  return { kind: 'reference', name: name(text), of: of === null ? null : name(of) }
}

const bare = { comment: null }

describe('statements', () => {
  test('a title', () => {
    expect(one('sheet "Heron 3 # one"')).toEqual({ kind: 'sheet', title: 'Heron 3 # one', ...bare })
  })

  test('a fact, with and without how well it is known', () => {
    expect(one('fact dry mass = 165 kg')).toEqual({
      kind: 'fact',
      name: name('dry mass'),
      value: number('165', 'kg'),
      error: null,
      ...bare,
    })
    const known = { kind: 'fact', name: name('dry mass'), value: number('165', 'kg'), ...bare }
    expect(one('fact dry mass = 165 kg ± 5 %')).toEqual({ ...known, error: number('5', '%') })
    expect(one('fact dry mass = 165 kg +/- 2 kg')).toEqual({ ...known, error: number('2', 'kg') })
  })

  test('a share with a relative error of itself', () => {
    expect(one('fact share = 80 % ± 5 %')).toMatchObject({ value: number('80', '%'), error: number('5', '%') })
  })

  test('a lever, with and without steps', () => {
    const range = {
      kind: 'lever',
      name: name('throttle cap'),
      from: number('30', '%'),
      to: number('100', '%'),
      ...bare,
    }
    expect(one('lever throttle cap from 30 % to 100 %')).toEqual({ ...range, step: null })
    expect(one('lever throttle cap from 30 % to 100 % in steps of 1 %')).toEqual({ ...range, step: number('1', '%') })
  })

  test('a bare number before a connective has no unit', () => {
    expect(one('lever a from 1 to 5 in steps of 1')).toMatchObject({
      from: number('1'),
      to: number('5'),
      step: number('1'),
    })
  })

  test('a figure', () => {
    expect(one('figure a = b * c')).toMatchObject({
      kind: 'figure',
      value: { operator: '*', left: reference('b'), right: reference('c') },
    })
  })

  test.each([
    ['at least 2', { kind: 'at least', value: number('2') }],
    ['>= 2', { kind: 'at least', value: number('2') }],
    ['≥ 2', { kind: 'at least', value: number('2') }],
    ['at most 6 g0', { kind: 'at most', value: number('6', 'g0') }],
    ['<= 6 g0', { kind: 'at most', value: number('6', 'g0') }],
    ['within 100 km to 110 km', { kind: 'within', from: number('100', 'km'), to: number('110', 'km') }],
    ['equal to 5', { kind: 'equal to', value: number('5'), tolerance: null }],
    ['= 5', { kind: 'equal to', value: number('5'), tolerance: null }],
    ['equal to 5 ± 1 %', { kind: 'equal to', value: number('5'), tolerance: number('1', '%') }],
    ['= 5 +/- 1', { kind: 'equal to', value: number('5'), tolerance: number('1') }],
  ])('a target %s', (limit, meant) => {
    expect(one(`should peak g ${limit}`)).toEqual({
      kind: 'target',
      level: 'should',
      value: reference('peak g'),
      limit: meant,
      ...bare,
    })
  })

  test('aims', () => {
    expect(one('aim least propellant mass')).toEqual({
      kind: 'aim',
      sense: 'least',
      value: reference('propellant mass'),
      ...bare,
    })
    expect(one('aim most least mass')).toEqual({ kind: 'aim', sense: 'most', value: reference('least mass'), ...bare })
    expect(one('aim roomiest')).toEqual({ kind: 'aim', sense: 'roomiest', value: null, ...bare })
  })

  test('a display unit', () => {
    expect(one('show apoapsis of hop in km')).toEqual({
      kind: 'show',
      name: { name: name('apoapsis'), of: name('hop') },
      unit: 'km',
      ...bare,
    })
    expect(one('show rate in 1/s')).toMatchObject({ unit: '1/s' })
    expect(one('show share in %')).toMatchObject({ unit: '%' })
  })

  test('a table with rows, parted by blanks or commas, with units and signs', () => {
    const table = one('table drag of mach\n  0 0.5 # slow\n  1, -2 kg\n  +3 m -40 degC\n')
    expect(table).toMatchObject({ kind: 'table', name: name('drag'), argument: name('mach'), file: null })
    expect(table).toHaveProperty('rows', [
      { cells: [number('0'), number('0.5')], comment: 'slow' },
      { cells: [number('1'), { kind: 'sign', operator: '-', arg: number('2', 'kg') }], comment: null },
      { cells: [{ kind: 'sign', operator: '+', arg: number('3', 'm') }, number('-40', 'degC')], comment: null },
    ])
  })

  test('a table from a file', () => {
    expect(one('table stack drag of mach from "drag.csv"')).toMatchObject({
      name: name('stack drag'),
      rows: [],
      file: { text: 'drag.csv' },
    })
  })

  test('a body', () => {
    expect(one('body small world\n  radius = 600 km')).toMatchObject({
      kind: 'body',
      name: name('small world'),
      slots: [{ name: name('radius'), value: number('600', 'km'), comment: null }],
    })
  })

  test('a flight with slots, stages and parachutes', () => {
    const text =
      'flight hop from Earth # up\n  rail length = 3 m\n  stage a b # lowest\n    dry mass = 1 kg # empty\n  parachute main\n    canopy area = 4 m^2\n'
    expect(one(text)).toEqual({
      kind: 'flight',
      name: name('hop'),
      body: name('Earth'),
      comment: 'up',
      slots: [{ name: name('rail length'), value: number('3', 'm'), comment: null }],
      parts: [
        {
          kind: 'stage',
          name: name('a b'),
          comment: 'lowest',
          slots: [{ name: name('dry mass'), value: number('1', 'kg'), comment: 'empty' }],
        },
        {
          kind: 'parachute',
          name: name('main'),
          comment: null,
          slots: [{ name: name('canopy area'), value: number('4', 'm^2'), comment: null }],
        },
      ],
    })
  })

  test('variants by lines and by file, with and without a name', () => {
    expect(
      one(
        'variants family\n  each load over 1 kg, 2 kg\n  each body of hop over "Moon", Earth\n  each cap from 1 to 3 in steps of 1',
      ),
    ).toMatchObject({
      kind: 'variants',
      name: name('family'),
      file: null,
      each: [
        { kind: 'over', name: { name: name('load'), of: null }, values: [number('1', 'kg'), number('2', 'kg')] },
        {
          kind: 'over',
          name: { name: name('body'), of: name('hop') },
          values: [{ kind: 'text', text: 'Moon' }, reference('Earth')],
        },
        { kind: 'steps', name: { name: name('cap'), of: null }, from: number('1'), to: number('3'), step: number('1') },
      ],
    })
    expect(one('variants from "cold days.csv"')).toMatchObject({
      name: null,
      each: [],
      file: { text: 'cold days.csv' },
    })
    expect(one('variants days from "days.csv"')).toMatchObject({ name: name('days'), file: { text: 'days.csv' } })
  })

  test('the reference sheet has no problems and all its statements', () => {
    const tree = parse(heron)
    expect(tree.problems).toEqual([])
    const kinds = tree.statements.map(each => each.kind)
    expect(kinds).toEqual([
      'sheet',
      ...Array(7).fill('fact'),
      'lever',
      'lever',
      'figure',
      'flight',
      ...Array(4).fill('target'),
      'aim',
    ])
  })
})

/** What the right-hand side means, as an expression with every operation in brackets. */
function grouped(text: string): string {
  const tree = parse(`figure x = ${text}`)
  expect(tree.problems).toEqual([])
  return brackets((tree.statements[0] as Extract<Statement, { kind: 'figure' }>).value)
}

function brackets(of: Expression): string {
  switch (of.kind) {
    case 'sign':
      return `[${of.operator}${brackets(of.arg)}]`
    case 'binary':
      return `[${brackets(of.left)}${of.operator}${brackets(of.right)}]`
    case 'call':
      return `${of.name.text}(${of.args.map(brackets).join(';')})${of.of ? ` of ${of.of.text}` : ''}`
    default:
      return expressionText(of)
  }
}

describe('expressions', () => {
  test.each([
    ['a + b - c', '[[a+b]-c]'],
    ['a - (b - c)', '[a-[b-c]]'],
    ['a + b * c', '[a+[b*c]]'],
    ['a / b / c', '[[a/b]/c]'],
    ['a / b * c', '[[a/b]*c]'],
    ['a ^ b ^ c', '[a^[b^c]]'],
    ['-a ^ 2', '[-[a^2]]'],
    ['a ^ -b', '[a^[-b]]'],
    ['2^-3^2', '[2^[-[3^2]]]'],
    ['-a * b', '[[-a]*b]'],
    ['a * -b', '[a*[-b]]'],
    ['a - -b', '[a-[-b]]'],
    ['- - a', '[-[-a]]'],
    ['a−b', '[a-b]'],
    ['(a)', 'a'],
    ['min(a, b, 2 kg)', 'min(a;b;2 kg)'],
    ['stack drag(mach)', 'stack drag(mach)'],
    ['max q * 2', '[max q*2]'],
    ['max q', 'max q'],
    ['peak g of hop + 1', '[peak g of hop+1]'],
    ['liftoff ratio of first stage ^ 2', '[liftoff ratio of first stage^2]'],
    ['air pressure(10 km) of Earth', 'air pressure(10 km) of Earth'],
    ['air pressure of Earth(10 km)', 'air pressure(10 km) of Earth'],
    ['pi', 'pi'],
  ])('%s', (text, meant) => {
    expect(grouped(text)).toBe(meant)
  })

  test.each([
    ['if a < 1 then 2 else 3 + 4', 'if a < 1 then 2 else 3 + 4'],
    ['1 + (if a = 1 then 2 else 3)', '1 + (if a = 1 then 2 else 3)'],
    ['if a < 1 then if b > 2 then 3 else 4 else 5', 'if a < 1 then if b > 2 then 3 else 4 else 5'],
    ['if a < 1 and b > 2 or not c = 3 then 1 else 0', 'if a < 1 and b > 2 or not c = 3 then 1 else 0'],
    ['if a < 1 and (b > 2 or c = 3) then 1 else 0', 'if a < 1 and (b > 2 or c = 3) then 1 else 0'],
    ['if not (a < 1 and b > 2) then 1 else 0', 'if not (a < 1 and b > 2) then 1 else 0'],
    ['if ((a) + 1) * 2 <= b then 1 else 0', 'if (a + 1) * 2 <= b then 1 else 0'],
    ['max(if a >= 1 then 2 else 3, 4)', 'max(if a >= 1 then 2 else 3, 4)'],
    ['(5 m)^2 + 5 m^2', '(5 m)^2 + 5 m^2'],
    ['((a * b)) + (c / (d))', 'a * b + c / d'],
    ['-(40 degC)', '-(40 degC)'],
    ['- 40 degC', '-40 degC'],
    ['a - 40 degC', 'a - 40 degC'],
    ['a * (b * c)', 'a * (b * c)'],
    ['(-a)^2', '(-a)^2'],
  ])('%s is printed as %s', (text, printed) => {
    const tree = parse(`figure x = ${text}`)
    expect(tree.problems).toEqual([])
    expect(expressionText((tree.statements[0] as Extract<Statement, { kind: 'figure' }>).value)).toBe(printed)
  })

  test('else takes all to its right, up to the words of a target', () => {
    expect(one('must if a < 1 then b else c + d at least if e < 2 then 3 else 4')).toMatchObject({
      value: { kind: 'if', no: { operator: '+' } },
      limit: { kind: 'at least', value: { kind: 'if' } },
    })
  })

  test('an equality inside a condition does not begin the limit of a target', () => {
    expect(one('must if a = 1 then b else c = 5')).toMatchObject({
      value: { kind: 'if' },
      limit: { kind: 'equal to', value: number('5') },
    })
  })
})

test.each([
  ['fact dry mass = 5 kg kg', ['dry mass']],
  ['stage booster rocket booster', ['booster rocket booster']],
  // A misspelt first word reads as the beginning of the name: with it and without it.
  ['facts dry mass = 5 kg', ['facts dry mass', 'dry mass']],
  ['mass = 5 kg', ['mass']],
  ['12 = 5 kg', []],
  ['fact = 5 kg', []],
  ['must thrust at leest 5 N', []],
])('a line that is wrong was to declare what can be told of it, so that nobody calls it unknown: %s', (line, names) => {
  expect(parse(`${line}\n`).problems).not.toEqual([])
  expect(parse(`${line}\n`).lost).toEqual(names)
})
