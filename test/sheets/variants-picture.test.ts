import { expect, test } from 'vitest'
import { meet } from '../../sheets/picture/label.ts'
import { PAPER, SLATE } from '../../sheets/picture/theme.ts'
import { variantsPicture } from '../../sheets/picture/variants-picture.ts'
import type { VariantColumn } from '../../sheets/variants/answer.ts'
import { type Fate, Tally } from '../../sheets/variants/tally.ts'
import { variedPlaces } from '../../sheets/variants/varied.ts'

const COLUMNS: readonly VariantColumn[] = [
  { header: 'variant', role: 'variant', name: 'variant', unit: '' },
  { header: 'dry mass [kg]', role: 'varied', name: 'dry mass', unit: 'kg' },
  { header: 'body of hop', role: 'varied', name: 'body of hop', unit: '' },
  { header: 'outcome', role: 'outcome', name: 'outcome', unit: '' },
  { header: 'margin', role: 'margin', name: 'margin of load at most', unit: '', level: 'should' },
  { header: 'problem', role: 'problem', name: 'problem', unit: '' },
]
const FATES: readonly Fate[] = ['met', 'solved', 'conflict', 'unsure', 'faulty']

/** A picture of so many masses on so many bodies, whose fates take turns. */
function pictureOf(masses: number, bodies: number, { theme = PAPER, title = 'A tank' } = {}) {
  const tally = new Tally(COLUMNS, { cross: [1, 2] })
  // The last mass first: the picture puts numbers in order by itself.
  for (let mass = masses; mass >= 1; mass--)
    for (let body = 0; body < bodies; body++) {
      const fate = FATES[(mass + body) % FATES.length]!
      const margin = fate === 'met' ? 0.1 : -0.1
      tally.take([mass * bodies + body, mass, `<b>${body}`, fate === 'met' ? 'solved' : fate, margin, ''])
    }
  return variantsPicture({ sheet: title, columns: COLUMNS, tally: tally.state, across: 1, up: 2, theme })
}

test.each([
  [1, 1],
  [5, 3],
  [40, 60],
  [90, 100],
])('the labels of %i by %i variants stand inside the picture and never on one another', (masses, bodies) => {
  for (const theme of [PAPER, SLATE]) {
    const picture = pictureOf(masses, bodies, { theme, title: 'A very long title of a sheet '.repeat(9) })
    picture.labels.forEach((box, k) => {
      expect(box.x).toBeGreaterThanOrEqual(0)
      expect(box.x + box.width).toBeLessThanOrEqual(picture.width)
      expect(box.y + box.height).toBeLessThanOrEqual(picture.height)
      for (const other of picture.labels.slice(k + 1))
        expect(meet(box, other), JSON.stringify([box, other])).toBe(false)
    })
    expect(picture.svg).not.toMatch(/NaN|Infinity|undefined|<b>/)
    expect(picture.svg).toContain(theme.ground)
  }
})

test('numbers rise from left to right, and each ending has a pattern of its own', () => {
  const { svg } = pictureOf(5, 1)
  const places = [1, 2, 3, 4, 5].map(mass => {
    const found = new RegExp(`<text x="([\\d.]+)"[^>]*>${mass}</text>`).exec(svg)
    return Number(found?.[1])
  })
  expect(places).toEqual([...places].sort((a, b) => a - b))
  expect(new Set(places).size).toBe(5)
  for (const words of ['every target met', 'every must met', 'conflict', 'unsure', 'faulty'])
    expect(svg).toContain(words)
  const strokes = [...svg.matchAll(/<path d="([^"]*)" (?:stroke|fill)="(#\w+)"/g)].map(([, , ink]) => ink)
  expect(new Set(strokes)).toEqual(new Set([PAPER.room, PAPER.short, PAPER.limit, PAPER.pencil, PAPER.ground]))
})

test('what does not occur is not explained', () => {
  const { svg } = pictureOf(1, 1)
  expect(svg).toContain('every must met')
  expect(svg).not.toContain('unsure')
})

test('axes are what varies; words of the writer’s own are none while something else varies', () => {
  const label: VariantColumn = { header: 'label', role: 'varied', name: 'label', unit: '' }
  const [first, ...rest] = COLUMNS
  expect(variedPlaces([first!, label, ...rest])).toEqual([2, 3, 1])
  expect(variedPlaces([first!, label])).toEqual([1])
  expect(variedPlaces(COLUMNS)).toEqual([1, 2])
})
