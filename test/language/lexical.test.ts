import { describe, expect, test } from 'vitest'
import { hyphenatedName, parse, plainUnit, type Statement } from '../../grammar/index.ts'

type Figure = Extract<Statement, { kind: 'figure' }>

function rightSide(text: string): Figure['value'] {
  const tree = parse(`figure x = ${text}`)
  expect(tree.problems).toEqual([])
  return (tree.statements[0] as Figure).value
}

/** A literal as its digits and unit. */
function literal(text: string): string {
  const value = rightSide(text)
  return value.kind === 'number' ? `${value.text}|${value.unit?.text ?? ''}` : value.kind
}

/** The names that the facts of a sheet declare. */
function names(text: string): string[] {
  const tree = parse(text)
  expect(tree.problems).toEqual([])
  return tree.statements.map(each => ('name' in each && each.name && 'text' in each.name ? each.name.text : ''))
}

describe('numbers and units', () => {
  test.each([
    ['12', '12|'],
    ['12.50', '12.50|'],
    ['.5', '.5|'],
    ['5.', '5|'],
    ['1e5', '1e5|'],
    ['1E-5', '1E-5|'],
    ['1e−5', '1e-5|'],
    ['12 km/s', '12|km/s'],
    ['12km/s', '12|km/s'],
    ['12   km/s', '12|km/s'],
    ['9.8 m/s²', '9.8|m/s²'],
    ['5 m·s⁻¹', '5|m·s⁻¹'],
    ['5 s^−1', '5|s^-1'],
    ['3.2 kN*s', '3.2|kN*s'],
    ['1 J/(kg*K)', '1|J/(kg*K)'],
    ['2 m^(1/2)', '2|m^(1/2)'],
    ['2 m^0.5', '2|m^0.5'],
    ['5 1/s', '5|1/s'],
    ['5 1/s^2', '5|1/s^2'],
    ['80 %', '80|%'],
    ['80%', '80|%'],
    ['90°', '90|°'],
    ['20 °C', '20|°C'],
    ['20 degC', '20|degC'],
    ['-40 degC', '-40|degC'],
    ['−40 degC', '-40|degC'],
    ['+40 degF', '40|degF'],
    ['-40 K', 'sign'],
    ['-40 degC/s', 'sign'],
    ['6 g0', '6|g0'],
    ['5 µm', '5|µm'],
    ['2 e3', '2|e3'],
    ['5 inch', '5|inch'],
  ])('%s', (text, meant) => {
    expect(literal(text)).toBe(meant)
  })

  test('the value is the double nearest to the digits', () => {
    expect(rightSide('0.1 kg')).toMatchObject({ value: 0.1 })
    expect(rightSide('-40 degC')).toMatchObject({ value: -40 })
  })

  test('a unit ends where an operator is followed by what is no unit', () => {
    expect(rightSide('12 km/s*2')).toMatchObject({
      operator: '*',
      left: { unit: { text: 'km/s' } },
      right: { text: '2' },
    })
    expect(rightSide('2 kg*(a + b)')).toMatchObject({
      operator: '*',
      left: { unit: { text: 'kg' } },
      right: { operator: '+' },
    })
    expect(rightSide('2 kg / a')).toMatchObject({
      operator: '/',
      left: { unit: { text: 'kg' } },
      right: { name: { text: 'a' } },
    })
  })

  test('a sign between two values is never part of a temperature', () => {
    expect(rightSide('a -40 degC')).toMatchObject({ operator: '-', right: { text: '40' } })
    expect(rightSide('(a) - -40 degC')).toMatchObject({ operator: '-', right: { text: '-40' } })
  })

  test('a unit in plain form', () => {
    expect(['m/s²', 'm·s⁻¹', '°', '°C', 'kg⋅m', 'μm'].map(plainUnit)).toEqual([
      'm/s^2',
      'm*s^-1',
      'deg',
      'degC',
      'kg*m',
      'µm',
    ])
  })
})

describe('names', () => {
  test('runs of blanks of any kind read as one', () => {
    expect(names('fact  dry \t\u00a0 mass\u3000= 5 kg')).toEqual(['dry mass'])
  })

  test('letters of any script, and digits after the first letter', () => {
    expect(names('fact масса ракеты = 1\nfact वज़न = 1\nfact q2 = 1')).toEqual([
      'масса ракеты',
      'वज़न'.normalize('NFC'),
      'q2',
    ])
  })

  test('are compared in composed form', () => {
    expect(names('fact gro\u0308ße = 1')).toEqual(['gr\u00f6ße'])
  })

  test('may begin with a first word, or be one', () => {
    expect(names('fact table = 1\nfact each stage = 1\nfact must = 2')).toEqual(['table', 'each stage', 'must'])
  })

  test('may be words that matter only in their places', () => {
    expect(names('fact least = 1\nfact steps = 1\nfact roomiest = 2')).toEqual(['least', 'steps', 'roomiest'])
  })

  test('may be called as what every object has', () => {
    expect(names('fact constructor = 1\nfact toString = 2\nfact hasOwnProperty = 3')).toEqual([
      'constructor',
      'toString',
      'hasOwnProperty',
    ])
    expect(parse('fact __proto__ = 1').problems).toHaveLength(1)
  })

  test('are told apart by case', () => {
    expect(names('fact Mass = 1\nfact mass = 1')).toEqual(['Mass', 'mass'])
  })

  test('a subtraction without blanks may have been meant as a name', () => {
    expect(hyphenatedName(rightSide('max-q'))).toBe('max q')
    expect(hyphenatedName(rightSide('a b-c-d'))).toBe('a b c d')
    expect(hyphenatedName(rightSide('max - q'))).toBeNull()
    expect(hyphenatedName(rightSide('max -q'))).toBeNull()
    expect(hyphenatedName(rightSide('2-q'))).toBeNull()
    expect(hyphenatedName(rightSide('a+b'))).toBeNull()
  })
})

describe('the text of a sheet', () => {
  test.each([
    ['\n', 'line feeds'],
    ['\r\n', 'carriage returns with line feeds'],
    ['\r', 'carriage returns alone'],
  ])('lines may end with %j, %s', end => {
    const tree = parse(['fact a = 1', '', 'fact b ='].join(end))
    expect(tree.statements).toHaveLength(1)
    expect(tree.problems).toMatchObject([{ line: 3, column: 9 }])
  })

  test('a byte-order mark at the start is no part of it', () => {
    expect(parse('\ufefffact a =').problems).toMatchObject([{ line: 1, column: 9 }])
    expect(parse('fact a = 1\n\ufefffact b = 1').problems).toMatchObject([{ line: 2, column: 1, length: 1 }])
  })

  test('places count UTF-16 units', () => {
    expect(parse('sheet "🚀" 5').problems).toMatchObject([{ column: 12, length: 1 }])
  })

  test('a statement has the place of its line, a comment apart', () => {
    expect(parse('\n  fact a  =  1 kg   # one\n').statements).toMatchObject([
      { span: { line: 2, column: 3, length: 15 }, comment: 'one' },
    ])
  })

  test('a comment that says nothing is none', () => {
    expect(parse('fact a = 1 #').statements).toMatchObject([{ comment: null }])
    expect(parse('fact a = 1 ## # x').statements).toMatchObject([{ comment: '# # x' }])
  })

  test('a sheet as a whole may be indented', () => {
    const tree = parse('    # a comment\n    fact a = 1\n\n    flight hop from Earth\n      rail length = 2 m')
    expect(tree.problems).toEqual([])
    expect(tree.statements).toMatchObject([{ kind: 'fact' }, { kind: 'flight', slots: [{}] }])
  })

  test('a block may be indented by tabs', () => {
    const tree = parse('flight hop from Earth\n\tstage a\n\t\tdry mass = 1 kg\n\t\tthrust = 2 N\n\tstage b')
    expect(tree.problems).toEqual([])
    expect(tree.statements).toMatchObject([{ parts: [{ slots: [{}, {}] }, { slots: [] }] }])
  })

  test('comments and empty lines do not end a block', () => {
    const tree = parse('flight hop from Earth\n\n# about the rail\n  rail length = 2 m')
    expect(tree.problems).toEqual([])
    expect(tree.statements).toMatchObject([{ slots: [{}] }])
  })

  test('a wrong line is left out and the names it was to declare are kept', () => {
    const tree = parse('fact a =\nlever b = 5\nflight hop from Earth\n  dry mass 5 kg\nbody c of d\nfact e = 1')
    expect(tree.statements).toMatchObject([{ kind: 'flight', slots: [] }, { name: { text: 'e' } }])
    expect(tree.problems).toHaveLength(4)
    expect(tree.lost).toEqual(expect.arrayContaining(['a', 'b', 'dry mass', 'c']))
  })

  test('an empty sheet has nothing wrong', () => {
    expect(parse('')).toEqual({ statements: [], problems: [], lost: [] })
    expect(parse('\n# only a comment\n')).toEqual({ statements: [], problems: [], lost: [] })
  })
})
