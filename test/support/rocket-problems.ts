import { EARTH } from '../../solver/flight/air.ts'
import type { BodyNumbers } from '../../solver/flight/plan.ts'
import type { SearchAim, SearchProblem, SearchTarget } from '../../solver/search/problem.ts'
import { type BruteAnswer, bruteForce, type Flown, flyAll } from './brute-search.ts'
import { problemOf, type Rig, ROW, rangeOf, rigOf, targetOn, type VehicleLever } from './rocket-search.ts'
import { sequence } from './vehicles.ts'

/** Invented worlds and vehicles, with sheets on them of which brute force knows the answer. */
export interface Case {
  readonly name: string
  readonly problem: SearchProblem
  readonly rig: Rig
  readonly truth: BruteAnswer
}

const G0 = 9.80665

function worldOf(next: () => number): BodyNumbers {
  const which = next()
  if (which < 0.55) return EARTH
  const gravity = 2 + 9 * next()
  const radius = 1e6 + 5e6 * next()
  if (which > 0.9) return { radius, gravity, air: null }
  return {
    radius,
    gravity,
    air: {
      kind: 'exponential',
      pressure: 2e4 + 1.3e5 * next(),
      density: 0.3 + 1.7 * next(),
      scaleHeight: 4000 + 8000 * next(),
      soundSpeed: 250 + 150 * next(),
      top: 6e4 + 1e5 * next(),
    },
  }
}

/** A vehicle on a world with the levers asked for: fuel and cap first, then ballast and area. */
export function randomRig(seed: number, steps: readonly number[]): Rig {
  const next = sequence(seed)
  const body = worldOf(next)
  const dry = 20 + 300 * next()
  const load = dry * (0.8 + 2.5 * next())
  const thrust = (dry + 0.7 * load) * body.gravity * (1.5 + 6 * next())
  const base = {
    dryMass: dry,
    propellantMass: 0,
    vacuumThrust: thrust,
    seaLevelThrust: thrust * (0.8 + 0.2 * next()),
    exhaustSpeed: (160 + 160 * next()) * G0,
    throttleCap: 0,
    referenceArea: dry * (2e-4 + 8e-4 * next()),
  }
  const [share, cap, ballast, area] = [0.1 + 0.4 * next(), 0.2 + 0.3 * next(), 0.3 + 0.5 * next(), 0.5 + next()]
  const all: VehicleLever[] = [
    { range: rangeOf(share, 1, steps[0]!), rates: { propellantMass: load } },
    { range: rangeOf(cap, 1, steps[1] ?? 1), rates: { throttleCap: 1 } },
    { range: rangeOf(0, ballast, steps[2] ?? 1), rates: { dryMass: dry } },
    { range: rangeOf(0, area, steps[3] ?? 1), rates: { referenceArea: base.referenceArea } },
  ]
  const pair = steps.length === 2 && next() < 0.25 ? [all[0]!, all[2]!] : all.slice(0, steps.length)
  const levers = pair.map((lever, l) =>
    lever === all[2] && steps.length === 2 ? { ...lever, range: rangeOf(0, ballast, steps[l]!) } : lever,
  )
  const used = levers.includes(all[1]!) ? base : { ...base, throttleCap: 1 }
  return rigOf({ body, base: used, levers })
}

/** Quantities that targets are drawn from, and which sides make sense. */
const CHOICES: readonly { rows: number | readonly number[]; kinds: readonly SearchTarget['kind'][] }[] = [
  { rows: ROW.peakG, kinds: ['at most', 'at most', 'within'] },
  { rows: ROW.maxQ, kinds: ['at most', 'at most', 'at least'] },
  { rows: ROW.energy, kinds: ['within', 'within', 'at least', 'equal within'] },
  { rows: ROW.liftoffRatio, kinds: ['at least'] },
  { rows: ROW.burnoutAltitude, kinds: ['at most', 'at least'] },
  { rows: ROW.burnoutSpeed, kinds: ['at most', 'at least', 'within'] },
  { rows: ROW.apoapsisTime, kinds: ['at most', 'within'] },
  { rows: ROW.dragLoss, kinds: ['at most'] },
  { rows: ROW.liftoffMass, kinds: ['at most'] },
]

interface Draft {
  readonly level: SearchTarget['level']
  readonly kind: SearchTarget['kind']
  readonly rows: number | readonly number[]
  readonly value: number
  readonly side: number
  readonly slack: number
}

function figureAt(rig: Rig, rows: number | readonly number[], flown: Flown): number {
  const list = typeof rows === 'number' ? [rows] : rows
  return Math.max(...list.map(row => rig.rows[row]!.figure?.(flown.rows[row]!) ?? flown.rows[row]!))
}

/** The target with its slack scaled. */
function targetOf(rig: Rig, draft: Draft, by: number): SearchTarget {
  const { level, kind, rows, value, side } = draft
  const band = kind === 'within' || kind === 'equal within'
  const room = Math.abs(value) * draft.slack * (band ? Math.max(1e-6, by > 0 ? by : 0.5) : by)
  if (kind === 'at most') return targetOn(rig, level, kind, rows, { high: value + room })
  if (kind === 'at least') return targetOn(rig, level, kind, rows, { low: value - room })
  const low = value - room * (1 + side)
  return targetOn(rig, level, kind, rows, { low, high: low + 2 * room })
}

function drafts(rig: Rig, anchor: Flown, next: () => number, level: SearchTarget['level'], count: number): Draft[] {
  const list: Draft[] = []
  const taken = new Set<number>()
  while (list.length < count) {
    const pick = Math.floor(next() * CHOICES.length)
    const { rows, kinds } = CHOICES[pick]!
    const kind = kinds[Math.floor(next() * kinds.length)]!
    const [slack, side] = [0.002 + 0.1 * next() ** 2, 1.6 * (next() - 0.5)]
    const value = figureAt(rig, rows, anchor)
    if (taken.has(pick)) continue
    taken.add(pick)
    if (!Number.isFinite(value) || value === 0) continue
    list.push({ level, kind, rows, value, side, slack })
  }
  return list
}

/** Sheets on one rig: `wanted` gives the number of feasible settings aimed at, 0 for none. */
export function casesOn(
  rig: Rig,
  seed: number,
  wanted: readonly number[],
  all: readonly Flown[] = flyAll(rigProblem(rig)),
): Case[] {
  const next = sequence(seed + 5000)
  const cases: Case[] = []
  for (const [index, want] of wanted.entries()) {
    const lifting = all.filter(flown => flown.rows[ROW.burnoutSpeed]! > 50)
    if (lifting.length === 0) return cases
    const anchor = lifting[Math.floor(next() * lifting.length)]!
    const musts = drafts(rig, anchor, next, 'must', 2 + Math.floor(2 * next()))
    const other = all[Math.floor(next() * all.length)]!
    const shoulds =
      next() < 0.5 ? drafts(rig, next() < 0.5 ? anchor : other, next, 'should', 1 + Math.floor(2 * next())) : []
    const coulds = next() < 0.2 ? drafts(rig, other, next, 'could', 1) : []
    const aims = aimsOf(rig, next)
    const problemAt = (by: number): SearchProblem =>
      problemOf(
        rig,
        [
          ...musts.map(draft => targetOf(rig, draft, by)),
          ...[...shoulds, ...coulds].map(draft => targetOf(rig, draft, 1)),
        ],
        aims,
      )
    const by = tighten(problemAt, all, want)
    if (by === null) continue
    const problem = problemAt(by)
    cases.push({ name: `rig ${seed}, sheet ${index}, ${want} wanted`, problem, rig, truth: bruteForce(problem, all) })
  }
  return cases
}

export function rigProblem(rig: Rig): SearchProblem {
  return problemOf(rig, [], [])
}

function aimsOf(rig: Rig, next: () => number): SearchAim[] {
  const which = next()
  const lever = ROW.lever + Math.floor(next() * rig.ranges.length)
  if (which < 0.3) return [{ sense: 'least', row: ROW.propellantMass }]
  if (which < 0.45) return [{ sense: 'most', row: ROW.energy }]
  if (which < 0.55) return [{ sense: 'least', row: lever }]
  if (which < 0.65) return [{ sense: 'least', row: ROW.dragLoss }]
  if (which < 0.75)
    return [
      { sense: 'most', row: ROW.liftoffMass },
      { sense: 'least', row: ROW.apoapsisTime },
    ]
  return []
}

/** The scale of slack at which about so many settings are feasible; below zero slack for none. Null where it cannot be had. */
function tighten(problemAt: (by: number) => SearchProblem, all: readonly Flown[], want: number): number | null {
  const countAt = (by: number): number => bruteForce(problemAt(by), all).feasible
  let [low, high] = [-4, 8]
  if (want === 0) {
    for (let by = -0.02; by > -30; by *= 1.8) if (countAt(by) === 0) return by
    return null
  }
  if (countAt(0) === 0) low = 0
  for (let round = 0; round < 12; round++) {
    const middle = (low + high) / 2
    if (countAt(middle) > want) high = middle
    else low = middle
  }
  return countAt(low) > 0 ? low : high
}
