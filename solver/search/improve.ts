import { wholeDescent } from './descend.ts'
import type { Frame } from './frame.ts'
import { CLOSE, goDown, goDownFrom, type Hunt, moreStarts, settleEnds, settleFrom } from './hunt.ts'
import type { Run } from './run.ts'
import { MEDIUM } from './samples.ts'
import { betterThanBest, tunnel } from './tunnel.ts'

/** Many levers go on from further starts until about so many flights were made. */
const MANY = 4
const ENOUGH = 500
/** Where the best has no value of the aim: so often is one looked for, by so many descents and further starts each time. */
const ROUNDS = 3
const DESCENTS = 3
const MORE = 8
const HALVES = 5
/** How far a descent from such an edge goes at first. */
const EDGE = 0.05

/** Looks for better places than the best: by tunnels, and with many levers from further starts. */
export function improve(hunt: Hunt): void {
  const { run, levers } = hunt
  const { samples, frame } = run
  if (lacksAim(run)) seekAim(hunt)
  through(hunt, 0)
  const margins = frame.parts.find(part => part.kind === 'margins')
  const tied = frame.parts.some(part => part.kind === 'aim' && frame.exact[part.row] && part.at < (margins?.at ?? 0))
  if (tied && margins) through(hunt, margins.at)
  if (levers.n < MANY) return
  for (let round = 0; round < 6 && samples.count < ENOUGH && !run.spent; round++) {
    moreStarts(hunt, 8)
    goDown(hunt, 2)
    through(hunt, 0)
  }
}

/** Tunnels out of the best at the first level from `from` on that can improve. */
function through(hunt: Hunt, from: number): void {
  const { run, effort } = hunt
  const bounds = betterThanBest(run, from)
  if (!bounds || run.spent) return
  for (const end of tunnel(run, bounds, effort.tunnels, effort.flights)) settleFrom(run, end)
}

/** Whether the best has no value of the first aim, or one without end: nothing there tells which way it could have a better one. */
function lacksAim({ frame, samples }: Run): boolean {
  const at = firstAim(frame)
  return at !== undefined && samples.bestKey[at] === Number.POSITIVE_INFINITY
}

/** The place of the first aim in a key. */
function firstAim({ parts }: Frame): number | undefined {
  return parts.find(part => part.kind === 'aim')?.at
}

/** Goes down from where the first aim only just has a value, on the ways from the best to the nearest places that have one. */
function seekAim(hunt: Hunt): void {
  const { run, effort } = hunt
  const { samples, frame } = run
  const at = firstAim(frame)!
  const valued = (sample: number): boolean => samples.key(sample)[at]! < Number.POSITIVE_INFINITY
  const gone = new Set<number>()
  for (let round = 0; round < ROUNDS && lacksAim(run) && !run.spent; round++) {
    if (round > 0) moreStarts(hunt, MORE)
    const best = samples.point(samples.best).slice()
    const far = (sample: number): number =>
      Math.max(...samples.point(sample).map((share, l) => Math.abs(share - best[l]!)))
    const near = hunt.starts.filter(start => valued(start) && !gone.has(start)).sort((a, b) => far(a) - far(b))
    for (const start of near.slice(0, DESCENTS)) {
      gone.add(start)
      const edge = edgeTowards(run, best, start, valued)
      const end = goDownFrom(hunt, edge, wholeDescent(effort.flights, { radius: EDGE }))
      settleEnds(run, [edge, ...(end >= 0 ? [end] : [])], CLOSE)
    }
  }
}

/** The sample nearest to `from` that still has a value, on the straight way from a sample that has one: halved so often. */
function edgeTowards(run: Run, from: Float64Array, to: number, valued: (sample: number) => boolean): number {
  const there = run.samples.point(to).slice()
  let [edge, low, high] = [to, 0, 1]
  for (let half = 0; half < HALVES && !run.spent; half++) {
    const middle = (low + high) / 2
    const u = there.map((share, l) => from[l]! + middle * (share - from[l]!))
    const sample = run.fly(u, MEDIUM)
    if (valued(sample)) {
      edge = sample
      high = middle
    } else low = middle
  }
  return edge
}
