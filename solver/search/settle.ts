import { nearestSetting } from './levers.ts'
import { mayWin, TIE } from './order.ts'
import { NEVER, Points } from './points.ts'
import type { Run } from './run.ts'

const MOST_CELLS = 6000
const MOST_POINTS = 300
const MOST_ROUNDS = 6
/**
 * Cells opened on what is foretold alone before a flight teaches the model, at the least and at the most: a flight costs less than the cells that it
 * closes, so that where flights are quick few are opened in between.
 */
const UNTAUGHT = { least: 3, most: 10 }
/** Right-hand sides that take about as long as a look at one neighbour of a cell (3 µs to 75 ns), and flights that the cells in between may cost. */
const LOOK = 40
const FLIGHTS = 4

/** The setting nearest to a point in shares. */
export function rounded(run: Run, u: Float64Array): Int32Array {
  const { levers } = run.frame
  return Int32Array.from(u, (share, l) => nearestSetting(levers, l, share))
}

/**
 * Settles the steps of one to three levers exactly, as far as the model's error bars hold: best first over the lattice from a
 * setting, a cell opened while it may hold something better than the best tight flight, a point flown while it may be better.
 * Begins anew from the best with what the model has learnt since, until all that was dismissed stays so. True where nothing was cut short.
 */
export function settle(run: Run, from: Int32Array): boolean {
  const points = new Points(run)
  let start = from
  let spent = 0
  for (let round = 0; round < MOST_ROUNDS; round++) {
    const flown = spreadOut(points, start, MOST_POINTS - spent)
    if (flown < 0) return false
    if (flown === 0 || staysDismissed(points)) return true
    spent += flown
    if (run.samples.best >= 0) start = rounded(run, run.samples.point(run.samples.best))
  }
  return false
}

/** Whether what a pass dismissed on a model that has learnt since, or left in the queue, would be dismissed again. */
function staysDismissed(points: Points): boolean {
  const { queue, key, dismissed, dismissedAt } = points
  const { lessons } = points.run.model
  const stands = (item: number): boolean => {
    const place = Math.floor(item / 2)
    const cell = item % 2 === 0
    return (!cell && points.done(place)) || !points.mayBeBest(place, cell)
  }
  for (let i = 0; i < dismissed.length; i++) if (dismissedAt[i] !== lessons && !stands(dismissed[i]!)) return false
  for (let item = queue.pop(key); item >= 0; item = queue.pop(key)) if (!stands(item)) return false
  return true
}

/** One pass; gives how many points it flew, −1 where it was cut short. */
function spreadOut(points: Points, start: Int32Array, most: number): number {
  const { run } = points
  const { frame, samples, model } = run
  const { queue, key } = points
  points.beginRound()
  const first = points.place(start)
  let flown = points.try(first)
  offer(first, points)
  let cells = 0
  let untaught = 0
  const patience = patienceOf(run)
  for (;;) {
    const item = queue.pop(key)
    if (item < 0) return flown
    if (samples.best >= 0 && !mayWin(frame, key, 0, samples.bestKey)) {
      points.dismiss(item, NEVER)
      if (isBeyond(key, samples.bestKey)) return flown
      continue
    }
    if (run.spent) return -1
    const place = Math.floor(item / 2)
    if (item % 2 === 1) {
      if (flown >= most) return -1
      const tried = points.try(place)
      if (tried > 0) untaught = 0
      else points.dismiss(item)
      flown += tried
      continue
    }
    if (++cells > MOST_CELLS) return -1
    // The model may have learnt better since the cell was put in.
    if (points.offered[place] !== model.lessons && !points.mayBeBest(place, true)) {
      points.dismiss(item)
      continue
    }
    if (++untaught > patience && flown < most) {
      const taught = points.teach(place)
      flown += taught
      untaught = 0
      if (taught > 0 && !points.mayBeBest(place, true)) {
        points.dismiss(item)
        continue
      }
    }
    eachNeighbour(points, place, offer)
    if (points.mayBeBest(place, false)) queue.push(run.key, item + 1)
    else points.dismiss(item + 1)
  }
}

/** How many cells are opened between two flights that teach. */
function patienceOf({ samples, frame }: Run): number {
  const flight = samples.work / Math.max(1, samples.count)
  const cell = LOOK * 3 ** frame.levers.n
  return Math.min(UNTAUGHT.most, Math.max(UNTAUGHT.least, Math.round((FLIGHTS * flight) / cell)))
}

/** Puts a cell in the queue, once a pass, if anything in it may be the best. */
function offer(place: number, points: Points): void {
  if (points.met[place] === points.round) return
  points.met[place] = points.round
  if (points.mayBeBest(place, true)) {
    points.offered[place] = points.run.model.lessons
    points.queue.push(points.run.key, 2 * place)
  } else points.dismiss(2 * place)
}

/** The settings a step about one in each direction, itself among them. */
function eachNeighbour(points: Points, place: number, visit: (place: number, points: Points) => void): void {
  const { count, n } = points.run.frame.levers
  const k = points.settings[place]!
  const next = k.slice()
  const turns = 3 ** n
  for (let turn = 0; turn < turns; turn++) {
    let inside = true
    for (let l = 0, rest = turn; l < n; l++, rest = Math.floor(rest / 3)) {
      next[l] = k[l]! + (rest % 3) - 1
      if (next[l]! < 0 || next[l]! >= count[l]!) inside = false
    }
    if (inside) visit(points.place(next), points)
  }
}

/** Whether no later key of the queue can win either: worse at the first place where it differs at all. */
function isBeyond(key: Float64Array, best: Float64Array): boolean {
  for (let k = 0; k < key.length; k++) {
    if (key[k] === best[k]) continue
    return key[k]! > best[k]! + TIE * Math.max(1, Math.abs(best[k]!))
  }
  return true
}
