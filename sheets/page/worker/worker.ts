import type { Asking, Said } from '../spoken.ts'
import { fetchCutter } from './areas.ts'
import { fetchReader } from './csv.ts'
import { newDesk, putFiles } from './desk.ts'
import { onLevers } from './pinned.ts'
import { answerSheet } from './sheet-job.ts'

/** An asking with its number, and what is said to it: one thing or several at once. */
export interface Asked {
  readonly id: number
  readonly asking: Asking
}
export interface Answered {
  readonly id: number
  readonly said: readonly Said[]
}
/** All that a page tells its worker: an asking, the number of one that is to be given up, or the files it has by name. */
export type Told = Asked | { readonly halt: number } | { readonly files: Readonly<Record<string, string>> }

/** Progress is told no more often than this [ms]; a search that takes longer ends with the best it has. */
const BETWEEN = 200
const LONGEST = 60_000
/** To a hand that moves, what is ready within this [ms] is said at once, so that the page is drawn once for it. */
const TOGETHER = 40

const desk = newDesk()
/** The newest asking of each kind that has not been taken up. */
const waiting = new Map<Asking['kind'], Asked>()
let working = false
let halted = 0
/** Files that have come and are not in use yet: between two askings only. */
let fresh: Readonly<Record<string, string>> | null = null
// What the first answer does not need comes behind it.
const later = () => withCutter(import('./later-jobs.ts'))
const pictures = () => withCutter(import('./sheet-pictures.ts'))

async function withCutter<Part>(part: Promise<Part>): Promise<Part> {
  const [come] = await Promise.all([part, fetchCutter()])
  return come
}

const channel = new MessageChannel()
let resume: () => void = () => {}
channel.port1.onmessage = () => resume()
/** Lets messages in that have come meanwhile; a timer would wait for milliseconds. */
const breathe = (): Promise<void> =>
  new Promise(done => {
    resume = done
    channel.port2.postMessage(null)
  })

self.onmessage = ({ data }: MessageEvent<Told>) => {
  if ('files' in data) fresh = data.files
  else if ('halt' in data) {
    halted = data.halt
    for (const [kind, { id }] of waiting) if (id === halted) waiting.delete(kind)
  } else {
    waiting.delete(data.asking.kind)
    waiting.set(data.asking.kind, data)
    if (!working) void work()
  }
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
  let gathered: Said[] = []
  let answered = false
  const say = (said: Said, more = false): void => {
    answered ||= said.kind === 'answer'
    gathered.push(said)
    if (more) return
    self.postMessage({ id, said: gathered } satisfies Answered)
    gathered = []
  }
  let told = performance.now()
  const begun = told
  const together = asking.kind === 'sheet' && asking.moving !== null
  const watch = (flights: number): boolean => {
    const now = performance.now()
    // What explains an answer on show is watched as well, and is no search that a reader waits for.
    if (!answered && now - told > BETWEEN) {
      told = now
      say({ kind: 'progress', flights: Math.round(flights) })
    }
    return now - begun < LONGEST
  }
  try {
    await useFiles()
    for await (const said of all(asking, watch)) {
      const more = together && performance.now() - begun < TOGETHER
      say(said, more)
      // A way round by the browser takes longer at times than what is left to do, and a hand asks nothing new before this is answered.
      if (more) continue
      await breathe()
      // What is asked anew, or given up, makes the rest of this worthless.
      if (waiting.has(asking.kind) || halted === id) return
      while (asking.kind !== 'sheet' && waiting.has('sheet')) {
        await answer(take()!)
        if (halted === id) return
      }
    }
    say({ kind: 'done' })
  } catch (error) {
    say({ kind: 'fault', message: error instanceof Error ? error.message : String(error) })
  }
}

async function* all(asked: Asking, watch: (flights: number) => boolean): AsyncGenerator<Said> {
  const asking = onLevers(desk, asked)
  if (asking.kind !== 'sheet') {
    yield* (await later()).laterJob(desk, asking)
    return
  }
  const answered = yield* answerSheet(desk, asking, watch)
  if (!answered) return
  const whole = yield* (await pictures()).picturesSaid(desk, asking, answered)
  if (whole) yield (await later()).cardSaid(desk, asking.text, answered, asking.flight)
}

async function useFiles(): Promise<void> {
  if (!fresh) return
  await fetchReader()
  putFiles(desk, fresh)
  fresh = null
}
