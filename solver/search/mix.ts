import { nearestSetting, shareOf } from './levers.ts'
import { mayWin } from './order.ts'
import { polish, write } from './polish.ts'
import { type Run, WHOLE } from './run.ts'
import { MEDIUM } from './samples.ts'
import { near } from './start.ts'
import { movesOf } from './walk.ts'

/**
 * Settles levers of which some have no steps: those are polished on tight flights, at one setting of the others after another,
 * in a walk as for many stepped levers. Each candidate is first carried by the model to where its free levers should stand.
 */
export function mix(run: Run, end: number): void {
  const { levers } = run.frame
  const stepped = [...levers.step.keys()].filter(l => levers.step[l]! > 0)
  if (stepped.length === 0) {
    write(run, polish(run, end))
    return
  }
  const walk = new MixedWalk(run, stepped)
  walk.go(run.samples.point(end).slice())
  walk.elsewhere()
  walk.open()
}

/** From these shares of the free levers' ranges another place is looked for. */
const ALONG = [0, 0.5, 1]
/** Places nearer than this are one. */
const BESIDE = 0.02

interface Candidate {
  readonly k: Int32Array
  readonly u: Float64Array
  readonly key: Float64Array
}

class MixedWalk {
  private readonly run: Run
  private readonly stepped: readonly number[]
  private readonly done = new Set<string>()
  /** Where candidates were flown. */
  private readonly been: Float64Array[] = []

  constructor(run: Run, stepped: readonly number[]) {
    this.run = run
    this.stepped = stepped
  }

  go(u: Float64Array): void {
    const { run, stepped } = this
    const { samples } = run
    let center = this.cheapest(u)
    if (!center) return
    this.settle(center)
    const moves = movesOf(stepped.length)
    for (let tries = 0; tries < 12 + 6 * stepped.length && !run.spent; tries++) {
      const next = this.mostPromising(center, moves)
      if (!next) return
      const before = samples.best
      this.settle(next)
      if (samples.best !== before) center = { ...next, u: samples.point(samples.best).slice() }
    }
  }

  /**
   * Tries one other place along the free levers, at the best's setting or one beside it, the one that promises most: from the ends and the middle of
   * their ranges the model carries elsewhere than from the best itself, where a level has two best places there.
   */
  elsewhere(): void {
    const { run, stepped } = this
    const { samples, frame } = run
    if (samples.best < 0 || run.spent) return
    const moves = [new Int8Array(stepped.length), ...movesOf(stepped.length).filter(isStep)]
    const best = samples.point(samples.best).slice()
    const k = Int32Array.from(stepped, l => nearestSetting(frame.levers, l, best[l]!))
    const next = this.promisingElsewhere(k, best, moves)
    if (next) this.settle(next)
  }

  private promisingElsewhere(center: Int32Array, best: Float64Array, moves: readonly Int8Array[]): Candidate | null {
    const { run, stepped, been } = this
    const { levers } = run.frame
    let chosen: Candidate | null = null
    for (const move of moves) {
      const k = center.map((from, i) => from + move[i]!)
      if (k.some((it, i) => it < 0 || it >= levers.count[stepped[i]!]!)) continue
      for (const share of ALONG) {
        const from = best.map((at, l) =>
          levers.step[l]! > 0 ? at : levers.low[l]! + share * (levers.high[l]! - levers.low[l]!),
        )
        const candidate = this.carried(k, from)
        if (!candidate || been.some(place => near(place, candidate.u, BESIDE))) continue
        if (near(best, candidate.u, BESIDE) || !mayWin(run.frame, candidate.key, 0, run.samples.bestKey)) continue
        if (!chosen || precedes(candidate.key, chosen.key)) chosen = candidate
      }
    }
    return chosen
  }

  /** Gives the stepped levers their whole box back. */
  open(): void {
    const { chain, frame } = this.run
    chain.low.set(frame.levers.low)
    chain.high.set(frame.levers.high)
  }

  private cheapest(u: Float64Array): Candidate | null {
    const { stepped, run } = this
    const { levers } = run.frame
    let best: Candidate | null = null
    for (let corner = 0; corner < 2 ** stepped.length; corner++) {
      const k = Int32Array.from(stepped, (l, i) => {
        const near = nearestSetting(levers, l, u[l]!)
        const other = near + (shareOf(levers, l, near) <= u[l]! ? 1 : -1)
        return (corner >> i) & 1 ? Math.min(levers.count[l]! - 1, Math.max(0, other)) : near
      })
      const candidate = this.carried(k, u)
      if (candidate && (!best || precedes(candidate.key, best.key))) best = candidate
    }
    return best
  }

  private mostPromising(center: Candidate, moves: readonly Int8Array[]): Candidate | null {
    const { run, stepped, done } = this
    const { levers } = run.frame
    const { samples } = run
    let best: Candidate | null = null
    for (const move of moves) {
      const k = center.k.map((from, i) => from + move[i]!)
      if (k.some((it, i) => it < 0 || it >= levers.count[stepped[i]!]!) || done.has(k.join())) continue
      const candidate = this.carried(k, center.u)
      if (!candidate || (best && !precedes(candidate.key, best.key))) continue
      if (samples.best < 0 || mayWin(run.frame, candidate.key, 0, samples.bestKey)) best = candidate
    }
    return best
  }

  /** Holds the stepped levers at settings. */
  private hold(k: Int32Array, u: Float64Array): Float64Array {
    const { run, stepped } = this
    const { chain, frame } = run
    const held = u.slice()
    stepped.forEach((l, i) => {
      held[l] = shareOf(frame.levers, l, k[i]!)
      chain.low[l] = chain.high[l] = held[l]!
    })
    return held
  }

  /** Where the free levers should stand at these settings by the model, and the best that it may be worth. */
  private carried(k: Int32Array, u: Float64Array): Candidate | null {
    const { run } = this
    const { chain, model, frame } = run
    let at = this.hold(k, u)
    let radius = 0.2
    const key = new Float64Array(frame.keySize)
    if (!model.predict(at, run.algebra(at))) return { k, u: at, key: key.fill(Number.NEGATIVE_INFINITY) }
    run.expected(at, key)
    for (let round = 0; round < 6; round++) {
      if (!chain.run(run.bounds, at, model.y, 0, model.slope, 0, at, radius, WHOLE)) break
      const next = at.map((from, l) => from + chain.step[l]!)
      if (!model.predict(next, run.algebra(next))) break
      run.expected(next, run.key)
      if (precedes(run.key, key)) {
        at = next
        key.set(run.key)
      } else {
        radius *= 0.3
        model.predict(at, run.algebra(at))
      }
    }
    const known = model.predict(at, run.algebra(at))
    run.optimistic(at, known, null, key)
    return { k, u: at, key }
  }

  /** Flies a candidate well; polishes it if it still may be the best. */
  private settle(candidate: Candidate): void {
    const { run, done } = this
    const { samples } = run
    done.add(candidate.k.join())
    this.been.push(candidate.u)
    this.hold(candidate.k, candidate.u)
    const sample = run.fly(candidate.u, MEDIUM)
    const again = this.carried(candidate.k, candidate.u)
    if (!again || (samples.best >= 0 && !mayWin(run.frame, again.key, 0, samples.bestKey))) return
    write(run, polish(run, sample))
  }
}

/** Whether a move is of one lever by one step. */
function isStep(move: Int8Array): boolean {
  return move.reduce((sum, by) => sum + Math.abs(by), 0) === 1
}

function precedes(a: Float64Array, b: Float64Array): boolean {
  for (let k = 0; k < a.length; k++) if (a[k] !== b[k]) return a[k]! < b[k]!
  return false
}
