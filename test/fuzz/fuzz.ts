// Throws changed lines, sheets, tables, variants, settings and links at the library: npm run fuzz [seconds] [first seed].
// Each has 2 s and 512 MB; what crashes, hangs or tells nonsense is shown with its seed, which makes the same input again.
import { availableParallelism } from 'node:os'
import { join } from 'node:path'
import { Worker } from 'node:worker_threads'
import { build } from 'vite'
import { ownFolder } from '../support/folders.ts'
import { inputOf } from './inputs.ts'

// Workers run plain scripts: the trial is bundled first.
const place = ownFolder('fuzz')
await build({
  configFile: false,
  logLevel: 'error',
  build: { ssr: 'test/fuzz/trial.ts', outDir: place, rollupOptions: { output: { entryFileNames: 'trial.mjs' } } },
  ssr: { noExternal: true },
})
const trial = join(place, 'trial.mjs')

const seconds = Number(process.argv[2] ?? 60)
const begun = performance.now()
let next = Number(process.argv[3] ?? 1)
let tried = 0
const tally: Record<string, number> = {}
let faults = 0
const BATCH = 4000
/** Of the processor's time [ms]: on a busy machine a clock on the wall would call anything a hang. */
const LONGEST = 2000
const LANES = Math.max(1, availableParallelism() - 1)

/** Processor time that this process has taken, its workers' included. [ms] */
function spent(): number {
  const { user, system } = process.cpuUsage()
  return (user + system) / 1000
}

function batch(): Promise<void> {
  const first = next
  next += BATCH
  return run(first, BATCH)
}

function run(first: number, count: number): Promise<void> {
  const now = new SharedArrayBuffer(4)
  const at = new Int32Array(now)
  at[0] = first
  return new Promise(done => {
    const worker = new Worker(trial, {
      workerData: { first, count, now },
      resourceLimits: { maxOldGenerationSizeMb: 512 },
    })
    let last = -1
    let since = spent()
    const goOn = (seed: number): void => {
      clearInterval(watch)
      tried += seed - first + 1
      const left = first + count - seed - 1
      void worker.terminate().then(() => (left > 0 ? run(seed + 1, left).then(done) : done()))
    }
    const watch = setInterval(() => {
      const seed = Atomics.load(at, 0)
      if (seed !== last) {
        last = seed
        since = spent()
      } else if (spent() - since > LONGEST * LANES) {
        tell(seed, 'hangs')
        goOn(seed)
      }
    }, 100)
    worker.on('message', (said: { seed?: number; error?: string; done?: boolean; tally?: Record<string, number> }) => {
      if (said.error !== undefined) tell(said.seed!, said.error)
      if (said.done) {
        clearInterval(watch)
        tried += count
        for (const [depth, many] of Object.entries(said.tally!)) tally[depth] = (tally[depth] ?? 0) + many
        void worker.terminate().then(() => done())
      }
    })
    worker.on('error', error => {
      const seed = Atomics.load(at, 0)
      tell(seed, error.message)
      goOn(seed)
    })
  })
}

function tell(seed: number, what: string): void {
  faults++
  const { kind, text } = inputOf(seed)
  process.stdout.write(
    `seed ${seed}, ${kind}: ${what.split('\n').slice(0, 4).join('\n  ')}\n  ${JSON.stringify(text.slice(0, 300))}\n`,
  )
}

async function lane(): Promise<void> {
  while (performance.now() - begun < 1000 * seconds) await batch()
}

await Promise.all(Array.from({ length: LANES }, lane))
const told = ['read', 'checked', 'solved'].map(depth => `${tally[depth] ?? 0} ${depth}`).join(', ')
process.stdout.write(
  `${tried} inputs (${told}) in ${Math.round((performance.now() - begun) / 1000)} s, ${faults} faults, seeds ${process.argv[3] ?? 1} to ${next - 1}\n`,
)
process.exitCode = faults > 0 ? 1 : 0
