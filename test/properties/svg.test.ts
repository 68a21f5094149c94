import fc from 'fast-check'
import { expect, test } from 'vitest'
import { escaped, path, pictureOf, short } from '../../sheets/picture/svg.ts'

test('a coordinate is the number that JavaScript’s own rounding to two decimals writes', () => {
  const coordinate = fc.oneof(
    fc.double({ min: -5000, max: 5000, noNaN: true }),
    fc.double({ noNaN: true, noDefaultInfinity: true }),
    // Halves of a hundredth, and their neighbours.
    fc.tuple(fc.integer({ min: -1e6, max: 1e6 }), fc.integer({ min: -3, max: 3 })).map(([n, off]) => {
      const half = (n + 0.5) / 100
      return half + off * Number.EPSILON * Math.abs(half)
    }),
  )
  fc.assert(
    fc.property(coordinate, value => {
      expect(short(value)).toBe(String(Number(value.toFixed(2))))
    }),
    { numRuns: 20_000 },
  )
})

test('words are escaped the same whether or not anything in them has to be', () => {
  const unit = fc.oneof(fc.constantFrom(...'<>&"\'\u0000\u0007\t\n\ud800é…'), fc.string({ minLength: 1, maxLength: 1 }))
  fc.assert(
    fc.property(fc.array(unit, { maxLength: 20 }), signs => {
      const words = signs.join('')
      const each = [...words].map(sign => escaped(sign)).join('')
      expect(escaped(words)).toBe(each)
      expect(escaped(words)).not.toMatch(/[<>"']|&(?!amp;|lt;|gt;|quot;|#39;)/)
      for (const sign of ['\u0000', '\u0007', '\ud800']) expect(escaped(words)).not.toContain(sign)
    }),
    { numRuns: 3000 },
  )
})

test('a path goes to every place in its order', () => {
  expect(path([])).toBe('')
  expect(
    path([
      [0, 1.005],
      [-0.001, 2e5],
    ]),
  ).toBe('M0 1L0 200000')
})

test('a picture has a line for each of its marks', () => {
  expect(pictureOf(30, 20, 'a < b', '<rect/>', '<g><line/></g>').split('\n')).toEqual([
    '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 30 20" width="30" height="20" role="img">',
    '<title>a &lt; b</title>',
    '<rect/>',
    '<g><line/></g>',
    '</svg>',
    '',
  ])
})
