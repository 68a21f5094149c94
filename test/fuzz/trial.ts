import { parentPort, workerData } from 'node:worker_threads'
import { openSheet } from '../../sheets/index.ts'
import { draftOf } from '../../sheets/page/state/link.ts'
import { inputOf } from './inputs.ts'

// A worker that tries inputs one after the other and says before each which it is: whoever waits for it in vain knows what hung.

const { first, count, now } = workerData as { first: number; count: number; now: SharedArrayBuffer }
const at = new Int32Array(now)

for (let seed = first; seed < first + count; seed++) {
  Atomics.store(at, 0, seed)
  const input = inputOf(seed)
  try {
    attempt(input)
  } catch (error) {
    parentPort!.postMessage({
      seed,
      kind: input.kind,
      error: error instanceof Error ? (error.stack ?? error.message) : String(error),
    })
  }
}
parentPort!.postMessage({ done: true, memory: process.memoryUsage().heapUsed })

function attempt({ kind, text, sheet: around }: ReturnType<typeof inputOf>): void {
  if (kind === 'link') {
    draftOf(text)
    return
  }
  const load = (): string => text
  const sheet = openSheet(kind === 'sheet' ? text : around, { load })
  if (kind === 'sheet') {
    const tidy = sheet.tidy()
    if (openSheet(tidy, { load }).tidy() !== tidy) throw new Error('what is tidy does not stay as it is')
    for (const problem of sheet.problems)
      if (
        problem.message === '' ||
        (/undefined|NaN|\[object/.test(problem.message) && !/undefined|NaN|\[object/.test(text))
      )
        throw new Error(`a message that tells nothing: ${problem.message}`)
    sheet.outline()
  }
  sheet.check()
  let flights = 0
  const watch = (): boolean => ++flights < 12
  const answer = kind === 'setting' ? sheet.solve({ set: { 'dry mass': text }, watch }) : sheet.solve({ watch })
  for (const { si, text: shown } of Object.values(answer.quantities))
    if (typeof si === 'number' && Number.isNaN(si)) throw new Error(`no number where one is told: ${shown}`)
  if (kind === 'variants') {
    let rows = 0
    const heads = sheet.variantFiles.map(() => text.split('\n')[0]!.split(','))
    for (const row of sheet.variants({ heads })) {
      if (Object.values(row).some(cell => typeof cell === 'number' && !Number.isFinite(cell)))
        throw new Error('a cell without a number')
      if (++rows === 10) break
    }
  }
}
