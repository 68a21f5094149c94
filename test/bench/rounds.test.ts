import { describe, expect, test } from 'vitest'
import { inRounds, type Probe, row, turns } from './rounds.ts'

describe('rows beside their marks', () => {
  test('a limit is told with its side and unit, and reached at the very number', () => {
    expect(row('a solve', 2, 2, 'ms', ['at most', 2])).toEqual({
      what: 'a solve',
      figure: '2.00 ms',
      mark: { told: '≤ 2 ms', reached: true },
    })
    expect(row('variants', 999, 0, 'a second', ['at least', 1000, 'our own']).mark).toEqual({
      told: '≥ 1,000 a second (our own)',
      reached: false,
    })
    expect(row('counted', 34, 0, '')).toEqual({ what: 'counted', figure: '34' })
  })
})

describe('looks in rounds', () => {
  test('works take turns', () => {
    const order: string[] = []
    turns({ one: () => order.push('one'), other: () => order.push('other') }, 2)
    expect(order).toEqual(['one', 'other', 'one', 'other'])
  })

  test('each row is told by the quickest look at each work and by the middle one, and missed marks are named', () => {
    const took = [
      { ours: 3, theirs: 6 },
      { ours: 1, theirs: 9 },
      { ours: 2, theirs: 4 },
    ]
    let round = 0
    const probe: Probe = {
      look: () => took[round++]!,
      rows: times => [
        row('ours', times.ours!, 0, 'ms', ['at most', 2]),
        row('… over theirs', times.ours! / times.theirs!, 2, '×', ['at most', 0.2]),
      ],
    }
    const seldom: Probe = {
      look: () => ({ all: 1 }),
      looks: 1,
      rows: times => [row('… once', times.all!, 0, 'ms', ['at most', 0])],
    }
    const lines = told(() => inRounds([probe, seldom], 3))
    expect(round).toBe(3)
    expect(lines.map(line => line.replace(/ {2,}/g, ' | '))).toEqual([
      ' | quickest | middle | mark',
      'ours | 1 ms | 2 ms | ≤ 2 ms',
      '… over theirs | 0.25 × | 0.33 × | ≤ 0.2 ×',
      '… once | 1 ms | ≤ 0 ms',
      '\nNot at their marks:\nours … over theirs\n… once',
    ])
  })

  test('a probe may be looked at in some rounds only, spread evenly', () => {
    const seen: number[] = []
    let round = 0
    const every: Probe = { look: () => ({ at: ++round }), rows: () => [] }
    const some: Probe = { look: () => ({ at: seen.push(round) }), looks: 3, rows: () => [] }
    told(() => inRounds([every, some], 12))
    expect(seen).toEqual([1, 5, 9])
  })
})

/** What is printed meanwhile, line by line. */
function told(work: () => void): readonly string[] {
  const lines: string[] = []
  const { log } = console
  const { write } = process.stderr
  console.log = (line: string) => void lines.push(line)
  process.stderr.write = () => true
  try {
    work()
  } finally {
    console.log = log
    process.stderr.write = write
  }
  return lines
}
