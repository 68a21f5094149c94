import { describe, expect, test } from 'vitest'
import { parse, type Statement, targetText, tidy, widthOf } from '../../grammar/index.ts'
import { heron } from '../support/heron.ts'

/** Expects a text to come out so, and to stay so. */
function expectTidy(text: string, wanted: string): void {
  expect(tidy(text).text).toBe(wanted)
  expect(tidy(wanted).text).toBe(wanted)
}

/** A flight with every kind of block, in the layout of the language's own description. */
const flight = `\
flight hop from Earth
  rail elevation = 88 deg
  rail length    = 30 m
  nose radius    = 0.4 m
  stage booster
    dry mass         = 110 kg
    propellant mass  = fuel fraction * full load
    vacuum thrust    = 17.5 kN
    drag coefficient = stack drag(mach)
    separation delay = 5 s
  stage capsule
    dry mass         = 55 kg
    reference area   = 0.13 m^2
  parachute main
    canopy area      = 14 m^2
    opening altitude = 1.5 km
    safe q           = 1.2 kPa
`

describe('the standard layout', () => {
  test('is that of the reference sheet', () => {
    expectTidy(heron, heron)
    expectTidy(flight, flight)
  })

  test('comes from the reference sheet with its blanks squeezed, its lines ending as most of them did', () => {
    const squeezed = heron.replace(/(?<=\S) +/g, ' ')
    const far = heron.replaceAll('\n', '\r\n')
    expectTidy(squeezed, heron)
    expectTidy(`\ufeff${squeezed.replaceAll('\n', '\r\n')}`, far)
    expectTidy(squeezed.replaceAll('\n', '\r\n').replace('\r\n', '\n'), far)
    expectTidy(squeezed.replace('\n', '\r\n'), heron)
    // Machines of long ago; no tool of today writes it.
    expectTidy(squeezed.replaceAll('\n', '\r'), heron)
    expectTidy(heron.replace(/^/gm, '    '), heron)
  })

  test('stays as it is where lines are uneven under a line that is uneven too', () => {
    for (const text of [
      '  rail elev = = 5 kg\n        stage second\n      dry m\n        stage second\nm',
      ' thrust \n      = 56871028.4 kN\n  dry maust \n      = 2.4 kN\nvacuum thrust = 0 NN',
    ]) {
      const once = tidy(text).text
      expect(tidy(once).text).toBe(once)
      expect(parse(once).problems.length).toBe(parse(text).problems.length)
    }
  })

  test('keeps a byte-order mark that a wrong line begins with, and stays so', () => {
    const once = tidy(' \ufeff fact a = 3 kg\n').text
    expect(once).toBe('\ufeff\ufeff fact a = 3 kg\n')
    expect(tidy(once).text).toBe(once)
  })

  test('comes from a flight indented in another way', () => {
    expectTidy(flight.replace(/^( +)/gm, '$1$1$1'), flight)
    expectTidy(
      flight.replace(/^( +)/gm, blanks => '\t'.repeat(blanks.length / 2)),
      flight,
    )
  })

  test('writes words for signs, and units in plain form', () => {
    expectTidy(
      'must a>=2 m/s²\nmust bcd<=3 kN·s\ncould e=5 µm+/-1 %\n',
      'must   a   at least 2 m/s^2\nmust   bcd at most  3 kN*s\ncould  e   equal to 5 µm ± 1 %\n',
    )
  })

  test('writes blanks around signs, none inside parentheses and powers', () => {
    expectTidy('figure a=( b+c )*d ^ 2-min( e,f )\n', 'figure a = (b + c) * d^2 - min(e, f)\n')
    expectTidy('figure a = b of c ( 2 )\n', 'figure a = b(2) of c\n')
  })

  test('aligns figures, display units, rows and variants each in their run', () => {
    expectTidy(
      'figure a = 1\nfigure long name = 2\n\nfigure b = 3\n',
      'figure a         = 1\nfigure long name = 2\n\nfigure b = 3\n',
    )
    expectTidy('show a in kg\nshow a of hop in %\n', 'show a        in kg\nshow a of hop in %\n')
    expectTidy('table t of x\n  0 0.30 1\n  10.5, -2, 3\n', 'table t of x\n  0     0.30  1\n  10.5  -2    3\n')
    expectTidy(
      'variants\n  each a over 1,2\n  each long from 1 to 2 in steps of 1\n',
      'variants\n  each a    over 1, 2\n  each long from 1 to 2 in steps of 1\n',
    )
  })

  test('aligns wide letters by the room they take', () => {
    const { text } = tidy('fact 质量 = 1\nfact abcdef = 2\n')
    const [first, second] = text.split('\n').map(line => widthOf(line.slice(0, line.indexOf('='))))
    expect(first).toBe(second)
  })

  test('does not align with a very long part', () => {
    const long = 'a + b + c + d + e + f + g + h + i + j + k + l'
    expectTidy(
      `must ${long} at least 1\nmust a at most 2\nmust abc at most 3\n`,
      `must   ${long} at least 1\nmust   a   at most  2\nmust   abc at most  3\n`,
    )
  })

  test('puts comments into one column, further right where lines are long', () => {
    expectTidy(
      'fact a = 1#one\nfact b = 2 #   two\n',
      `fact  a  = 1${' '.repeat(29)}# one\nfact  b  = 2${' '.repeat(29)}# two\n`,
    )
    const long = `fact  ${'abcdefghij '.repeat(3)}k  = 1`
    expectTidy(`${long} # one\n`, `${long}   # one\n`)
  })

  test('keeps empty lines and comments alone, at the indent of the lines they go with', () => {
    expectTidy(
      '# top\n\n\nflight hop from Earth\n     # about the rail\n     rail length = 2 m\n # lost\n#zero\n     nose radius = 1 m\n     # last\n\nfact a = 1\n\n\n',
      '# top\n\n\nflight hop from Earth\n  # about the rail\n  rail length = 2 m\n  # lost\n#zero\n  nose radius = 1 m\n  # last\n\nfact  a  = 1\n',
    )
  })

  test('keeps the words of wrong lines, and indents them with their block', () => {
    expectTidy(
      'fact   a  ==  1\nflight hop from Earth\n      dry   mass 5 kg\n      rail length=2 m\n',
      'fact   a  ==  1\nflight hop from Earth\n  dry   mass 5 kg\n  rail length = 2 m\n',
    )
  })

  test('leaves the indents of a statement in which one is wrong, and lays out its words', () => {
    const { text } = tidy('fact  a = 1\nflight hop from Earth\n      rail   length=2 m\n   nose radius = 1 m\n')
    expect(text).toBe('fact  a  = 1\nflight hop from Earth\n      rail length = 2 m\n   nose radius = 1 m\n')
    expect(parse(text).problems).toHaveLength(1)
  })

  test('leaves a sheet alone whose blocks are not clear', () => {
    const text = 'flight  hop from Earth\n\tstage a\n    dry mass = 1 kg\n'
    expectTidy(text, text)
  })

  test('tells all problems of the sheet', () => {
    expect(tidy('fact a =\nfact b').problems).toEqual(parse('fact a =\nfact b').problems)
  })

  test('of an empty sheet is empty', () => {
    expectTidy('', '')
    expect(tidy('\n \n').text).toBe('')
  })
})

test('a target by itself has single blanks and no level', () => {
  const targets = parse(heron).statements.filter(
    (each): each is Extract<Statement, { kind: 'target' }> => each.kind === 'target',
  )
  expect(targets.map(targetText)).toEqual([
    'liftoff ratio at least 2',
    'peak g at most 6 g0',
    'max q at most 70 kPa',
    'apoapsis within 100 km to 110 km',
  ])
  const [equal] = parse('must a = 5 m/s² +/- 1 %').statements
  expect(targetText(equal as (typeof targets)[number])).toBe('a equal to 5 m/s^2 ± 1 %')
})
