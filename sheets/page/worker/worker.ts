import type { Asking, Said } from '../spoken.ts'
import { type Desk, job } from './jobs.ts'

/** An asking with its number, and what is said to it. */
export interface Asked {
  readonly id: number
  readonly asking: Asking
}
export interface Answered {
  readonly id: number
  readonly said: Said
}

/** Progress is told no more often than this [ms]; a search that takes longer ends with the best it has. */
const BETWEEN = 200
const LONGEST = 60_000

const desk: Desk = { text: '', sheet: null, outline: null, mapped: null }
/** The newest asking of each kind that has not been taken up. */
const waiting = new Map<Asking['kind'], Asked>()
let working = false

const channel = new MessageChannel()
let resume: () => void = () => {}
channel.port1.onmessage = () => resume()
/** Lets messages in that have come meanwhile; a timer would wait for milliseconds. */
const breathe = (): Promise<void> =>
  new Promise(done => {
    resume = done
    channel.port2.postMessage(null)
  })

self.onmessage = ({ data }: MessageEvent<Asked>) => {
  waiting.delete(data.asking.kind)
  waiting.set(data.asking.kind, data)
  if (!working) void work()
}

async function work(): Promise<void> {
  working = true
  for (let next = take(); next; next = take()) await answer(next)
  working = false
}

/** The sheet first: everything else on the page hangs on it. */
function take(): Asked | null {
  const next = waiting.get('sheet') ?? waiting.values().next().value ?? null
  if (next) waiting.delete(next.asking.kind)
  return next
}

async function answer({ id, asking }: Asked): Promise<void> {
  const say = (said: Said): void => self.postMessage({ id, said } satisfies Answered)
  let told = performance.now()
  const begun = told
  const watch = (flights: number): boolean => {
    const now = performance.now()
    if (now - told > BETWEEN) {
      told = now
      say({ kind: 'progress', flights: Math.round(flights) })
    }
    return now - begun < LONGEST
  }
  try {
    for (const said of job(desk, asking, watch)) {
      say(said)
      await breathe()
      // What is asked anew makes the rest of this worthless.
      if (waiting.has(asking.kind)) return
      while (asking.kind !== 'sheet' && waiting.has('sheet')) await answer(take()!)
    }
    say({ kind: 'done' })
  } catch (error) {
    say({ kind: 'fault', message: error instanceof Error ? error.message : String(error) })
  }
}
