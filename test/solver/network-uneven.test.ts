import { describe, expect, test } from 'vitest'
import { searchOf } from '../support/late-ignition.ts'
import { smallHop } from '../support/small-hop.ts'

/** By target or aim of a sheet: whether the row that it is judged by is uneven. */
function uneven(lines: string): readonly boolean[] {
  const { rows, targets, aims } = searchOf(`
lever count from 1 to 4 in steps of 1
lever length from 1 m to 3 m
lever rise from 0 m to 2 m
lever fall from -2 m to 0 m
fact many = 2
fact share = 0.5
table price of count
  1      4
  4      8
table rate of width
  1 m    1
  3 m    2
  5 m    7
${lines}
`)
  const asked = [...targets.map(target => target.rows[0]), ...aims.map(aim => ('row' in aim ? aim.row : undefined))]
  return asked.filter(row => row !== undefined).map(row => rows[row]!.uneven === true)
}

describe('a figure is uneven where it may jump or bend in the levers’ ranges', () => {
  test.each([
    ['a choice that goes both ways', 'if count >= many then 3 * length else 2 * length', true],
    ['a choice of one way', 'if many >= 3 then 3 * length else 2 * length', false],
    ['the way that is never taken', 'if many >= 3 then max(length, 2 m) else length', false],
    ['the way that is always taken', 'if many >= 3 then length else max(length, 2 m)', true],
    ['the other way that is never taken', 'if many <= 3 then length else max(length, 2 m)', false],
    ['the other way that is always taken', 'if many <= 3 then max(length, 2 m) else length', true],
    ['a choice by a lever that goes one way only', 'if length > 0 m then 3 * length else 2 * length', false],
    ['the larger of two', 'max(length, count * 1 m)', true],
    ['the smaller of two', 'min(length, 2 m)', true],
    ['the first always larger', 'max(length, 1 m)', false],
    ['the second always larger', 'max(1 m, length)', false],
    ['the first always smaller', 'min(length, 3 m)', false],
    ['the second always smaller', 'min(3 m, length)', false],
    ['one that bends, always larger, first', 'max(max(length, 2 m), 0.5 m) + length', true],
    ['one that bends, always larger, second', 'max(0.5 m, max(length, 2 m)) + length', true],
    ['one that bends, never larger, first', 'max(max(length, 2 m), 5 m) + length', false],
    ['one that bends, never larger, second', 'max(5 m, max(length, 2 m)) + length', false],
    ['one that bends, always smaller, first', 'min(max(length, 2 m), 5 m) + length', true],
    ['one that bends, always smaller, second', 'min(5 m, max(length, 2 m)) + length', true],
    ['one that bends, never smaller, first', 'min(max(length, 2 m), 0.5 m) + length', false],
    ['one that bends, never smaller, second', 'min(0.5 m, max(length, 2 m)) + length', false],
    ['a difference of either sign', 'abs(length - 2 m)', true],
    ['a difference down to nothing', 'abs(rise)', false],
    ['a difference up to nothing', 'abs(fall)', false],
    ['the size of what bends', 'abs(max(length, 2 m))', true],
    ['a table with a knot where its argument goes', 'rate(length + 1 m) * 1 m', true],
    ['a table with a knot at the far end of the argument', 'rate(length + 2 m) * 1 m', true],
    ['a table between two knots', 'rate(length) * 1 m', true],
    ['a table with the near knot alone', 'rate(3 m + share * length / 2) * 1 m', false],
    ['a table of what bends, between knots', 'rate(3.5 m + share * max(length, 2 m) / 2) * 1 m', true],
    ['a sum whose first part bends', 'max(length, 2 m) + count * 1 m', true],
    ['a sum whose second part bends', 'count * 1 m + max(length, 2 m)', true],
    ['a root of what bends', 'sqrt(max(length, 2 m) * 1 m)', true],
    ['a product', 'length * count', false],
    ['what no lever moves', 'max(share, many) * length', false],
    ['one over what passes zero', '1 m / (count - 2.5)', true],
    ['one over what comes near zero', '1 m / (count - 0.5)', false],
    ['a power of what passes zero, below the line', '(count - 2.5) ^ -1 * 1 m', true],
    ['a power of what passes zero, above it', '(count - 2.5) ^ 3 * 1 m', false],
    ['a tangent past 90 deg', 'tan(count * 40 deg) * 1 m', true],
    ['a tangent below 90 deg', 'tan(count * 20 deg) * 1 m', false],
    ['a logarithm down to nothing', 'ln(rise / 1 m) * 1 m', true],
    ['a logarithm above it', 'ln(length / 1 m) * 1 m', false],
    ['what is made of a pole', 'sqrt(abs(1 / (count - 2.5))) * length', true],
  ])('%s', (_, text, expected) => {
    // Beside the larger of two, so that something bends in every sheet.
    expect(uneven(`must ${text} at least 1 m\nmust max(count, 2) at least 1`)).toEqual([expected, true])
  })

  test('limits, prices by a table and aims count', () => {
    expect(
      uneven(`
must length at most (if count >= many then 3 m else 2 m)
must length at most 3 m
must price(count) at least 1
aim least min(length, 2 m)
aim most count`),
    ).toEqual([true, false, true, true, false])
  })

  test('a sheet in which nothing bends has no uneven row', () => {
    expect(uneven('must length at least 2 m\naim least length * count')).toEqual([false, false])
  })

  test('what is flown is not told', () => {
    const flown = 'must if apoapsis > 5 km then length else 2 * length at least 1 m'
    const sheet = `${flown}\nmust max(length, 2 m) at least 1 m\n${smallHop('count * 10 kg', null)}`
    expect(uneven(sheet)).toEqual([false, true])
  })
})
