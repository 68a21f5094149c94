import { readFileSync } from 'node:fs'
import { expect, test } from 'vitest'
import { openSheet } from '../../sheets/index.ts'
import { frontReport, frontTable } from '../../sheets/report/front-report.ts'
import { print } from '../../sheets/report/marked.ts'
import { wantedAt } from '../support/wanted.ts'

const heron = readFileSync('sheets/examples/heron.loft', 'utf8').replace(
  /should apoapsis.*/,
  'must apoapsis at least 60 km',
)
const two = `${heron}aim most apoapsis\n`
const lifted = two.replace(/ in steps of 1 %/g, '')

test('with steps the front is every setting that no other beats in both aims, against all 5,041', () => {
  const wanted = wantedAt(heron)
  const best: { load: number; apoapsis: number }[] = []
  for (let load = 30; load <= 100; load++) {
    let most = 0
    for (let cap = 30; cap <= 100; cap++) {
      const at = wanted({ 'fuel fraction': load / 100, 'throttle cap': cap / 100 })
      const met = at['liftoff ratio']! >= 2 && at['peak g']! <= 6 * 9.80665 && at['max q']! <= 70e3
      if (met && at.apoapsis! >= 60e3) most = Math.max(most, at.apoapsis!)
    }
    if (most > Math.max(0, ...best.map(each => each.apoapsis))) best.push({ load, apoapsis: most })
  }
  const { points, outcome } = openSheet(two).front({ points: 60 })
  expect(outcome).toBe('solved')
  expect(best.length).toBeGreaterThan(20)
  expect(points.map(point => Math.round(point.aims[0] / 3))).toEqual(best.map(each => each.load))
  points.forEach((point, k) => {
    expect(point.aims[1] / best[k]!.apoapsis).toBeCloseTo(1, 9)
  })
})

test('without steps there are the points asked for, evenly spread, each one a solve with that much of the second aim', () => {
  const front = openSheet(lifted).front({ points: 33 })
  expect(front.points.length).toBe(33)
  const [first, last] = [front.points[0]!, front.points.at(-1)!]
  const spans = [0, 1].map(k => Math.abs(last.aims[k as 0 | 1] - first.aims[k as 0 | 1]))
  const gaps = front.points
    .slice(1)
    .map(({ aims }, k) =>
      Math.hypot(...aims.map((value, i) => (value - front.points[k]!.aims[i as 0 | 1]) / spans[i]!)),
    )
  expect(Math.max(...gaps) / Math.min(...gaps)).toBeLessThan(2.2)
  for (const k of [4, 16, 28]) {
    const { aims } = front.points[k]!
    const alone = openSheet(`${lifted}must apoapsis at least ${aims[1]} m\n`).solve()
    expect((alone.aims[0]!.si as number) / aims[0]).toBeCloseTo(1, 6)
  }
  // The knee is where the line bends most: the farthest from the straight line between the ends.
  const far = front.points.map(({ aims }) => {
    const [x, y] = aims.map(
      (value, i) => (value - first.aims[i as 0 | 1]) / (last.aims[i as 0 | 1] - first.aims[i as 0 | 1]),
    )
    return Math.abs(x! - y!)
  })
  expect(front.knee).toBe(far.indexOf(Math.max(...far)))
  expect(front.text).toContain('The knee is at propellant mass')
})

test('a front by hand: least x and most of a bend over it', () => {
  const front = openSheet(
    'lever x from 0 to 4\nlever y from 0 to 1\nmust y at most 1\naim least x\naim most y * sqrt(x)',
  ).front()
  for (const { aims } of front.points) expect(aims[1]).toBeCloseTo(Math.sqrt(aims[0]), 6)
  // The bend of a root farthest from its chord lies at a quarter of the way.
  expect(front.points[front.knee!]!.aims[0]).toBeGreaterThan(0.8)
  expect(front.points[front.knee!]!.aims[0]).toBeLessThan(1.2)
})

test('a sheet without two aims, or without a solution, has no front and says why', () => {
  expect(openSheet(heron).front().problems.at(-1)!.message).toBe('A front needs two aims; this sheet has fewer.')
  expect(openSheet(two.replace('6 g0', '3 g0')).front()).toMatchObject({ outcome: 'conflict', points: [] })
})

test('the list and the table hold every point', () => {
  const front = openSheet(two).front()
  const page = print(frontReport(front, 'heron.loft', 80))
  expect(page).toContain(`knee    ${front.points[front.knee!]!.texts[0]}`)
  expect(page.split('\n').every(line => line.length <= 80)).toBe(true)
  const [head, ...rows] = frontTable(front)
  expect(head).toEqual([
    'knee',
    'least propellant mass [SI]',
    'most apoapsis [SI]',
    'fuel fraction [SI]',
    'throttle cap [SI]',
  ])
  expect(rows.length).toBe(front.points.length)
})
