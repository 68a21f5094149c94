import { shareOf } from './levers.ts'
import { NEVER, Points } from './points.ts'
import { eachOpen, firstDifference } from './promising.ts'
import type { Run } from './run.ts'

/** More settings than this are not gone through: those that algebra leaves open take some 5 µs each, so that many make a solve twelve times as long. */
const MOST_SURVEYED = 50_000
const MOST_POINTS = 300
const MOST_ROUNDS = 6

/**
 * Whether algebra that the targets or aims of this search hang on may jump, so that what is known of a setting tells nothing of its neighbours, and all
 * of them can be gone through. A question about some musts of a sheet has all rows of the sheet, those that it does not ask for too.
 */
export function isUneven({ frame }: Run): boolean {
  const { problem, levers } = frame
  if (!(levers.size <= MOST_SURVEYED)) return false
  const asked = [
    ...problem.targets.flatMap(target => target.rows),
    ...problem.aims.flatMap(aim => (aim.sense === 'roomiest' ? [] : [aim.row])),
  ]
  return asked.some(row => problem.rows[row]!.uneven === true)
}

/**
 * Looks for a setting better than the best wherever it lies. Settling goes from cell to cell by slopes, which tell of no jump; here the algebra of every
 * setting is worked out, and what is flown foretold where algebra promises enough: those that may win by both are flown, what promises most first, and all
 * are heard again until what was learnt opens none. True where nothing was cut short.
 */
export function survey(run: Run): boolean {
  const { model } = run
  const points = new Points(run)
  const open = openSettings(run)
  const heard = new Int32Array(open.lifts.length).fill(NEVER)
  let spent = 0
  for (let round = 0; round < MOST_ROUNDS; round++) {
    let flown = 0
    for (const each of open.order) {
      // What was dismissed stays so while nothing is learnt: the best has only got better.
      if (heard[each] === model.lessons) continue
      heard[each] = model.lessons
      if (!mayWin(run, open, each)) continue
      const place = points.place(settingOf(run, open, each))
      if (points.done(place)) continue
      if (run.spent || spent + flown >= MOST_POINTS) return false
      flown += points.try(place)
      heard[each] = model.lessons
    }
    if (flown === 0) return true
    spent += flown
  }
  return false
}

/** The settings that their algebra does not put out, one after the other in each list: tens of thousands of small lists would keep the collector busy. */
interface Open {
  readonly k: Int32Array
  readonly rows: Float64Array
  readonly lifts: Uint8Array
  /** Their places in the lists, what algebra promises most first. */
  readonly order: Int32Array
  /** Room for a setting in shares, and for its algebra. */
  readonly u: Float64Array
  readonly own: Float64Array
}

function openSettings(run: Run): Open {
  const { levers, keySize, problem } = run.frame
  const width = problem.rows.length
  const k = new Int32Array(levers.size * levers.n)
  const rows = new Float64Array(levers.size * width)
  const keys = new Float64Array(levers.size * keySize)
  const lifts = new Uint8Array(levers.size)
  let count = 0
  eachOpen(run, (setting, algebra, key) => {
    k.set(setting, count * levers.n)
    rows.set(algebra.rows, count * width)
    keys.set(key, count * keySize)
    lifts[count++] = algebra.lifts ? 1 : 0
  })
  const order = Int32Array.from({ length: count }, (_, each) => each)
  order.sort((a, b) => firstDifference(keys, a * keySize, keys, b * keySize, keySize))
  return { k, rows, lifts, order, u: new Float64Array(levers.n), own: new Float64Array(width) }
}

function settingOf({ frame }: Run, { k }: Open, each: number): Int32Array {
  return k.subarray(each * frame.levers.n, (each + 1) * frame.levers.n)
}

/** Whether what is foretold of a setting may beat the best. */
function mayWin(run: Run, { k, rows, lifts, u, own }: Open, each: number): boolean {
  const { frame, samples, model } = run
  const { levers } = frame
  for (let r = 0; r < own.length; r++) own[r] = rows[each * own.length + r]!
  const algebra = { rows: own, slopes: NO_SLOPES, lifts: lifts[each] === 1, work: 0 }
  if (samples.flawless && run.fallsShort(algebra, false)) return false
  for (let l = 0; l < u.length; l++) u[l] = shareOf(levers, l, k[each * u.length + l]!)
  const known = model.predict(u, algebra)
  if (samples.flawless && known && run.cannotMeet(null)) return false
  return run.mayBeBest(u, known, null, run.key)
}

const NO_SLOPES = new Float64Array(0)
