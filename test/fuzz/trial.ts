import { parentPort, workerData } from 'node:worker_threads'
import type { Problem } from '../../grammar/source.ts'
import { tidy } from '../../grammar/tidy.ts'
import { openSheet } from '../../sheets/index.ts'
import { linkedOf } from '../../sheets/page/state/link.ts'
import type { Sheet } from '../../sheets/sheet.ts'
import { type Input, inputOf } from './inputs.ts'

// A worker that tries inputs one after the other and says before each which it is: whoever waits for it in vain knows what hung.

const { first, count, now } = workerData as { first: number; count: number; now: SharedArrayBuffer }
const at = new Int32Array(now)

const tally: Record<string, number> = {}
for (let seed = first; seed < first + count; seed++) {
  Atomics.store(at, 0, seed)
  const input = inputOf(seed)
  tally[input.depth] = (tally[input.depth] ?? 0) + 1
  try {
    if (input.kind === 'lines') read(input.text)
    else attempt(input)
  } catch (error) {
    const words = error instanceof Error ? (error.stack ?? error.message) : String(error)
    parentPort!.postMessage({ seed, kind: input.kind, error: words })
  }
}
parentPort!.postMessage({ done: true, tally })

/** What is tidy stays as it is, and every problem tells something. */
function read(text: string): void {
  const { text: once, problems } = tidy(text)
  if (tidy(once).text !== once) throw new Error('what is tidy does not stay as it is')
  telling(problems, text)
}

function telling(problems: readonly Problem[], text: string): void {
  const nothing = /undefined|NaN|\[object/
  for (const { message, mend } of problems)
    for (const words of [message, mend ?? '.'])
      if (words === '' || (nothing.test(words) && !nothing.test(text)))
        throw new Error(`a message that tells nothing: ${words}`)
}

function attempt({ kind, depth, text, sheet: around }: Input): void {
  if (kind === 'link') {
    linkedOf(text)
    return
  }
  const load = (): string => text
  const sheet = openSheet(kind === 'sheet' ? text : around, { load })
  if (kind === 'sheet') {
    read(text)
    telling(sheet.problems, text)
    sheet.outline()
  }
  sheet.check()
  if (depth === 'checked') return
  let flights = 0
  const watch = (): boolean => ++flights < 12
  const answer = kind === 'setting' ? sheet.solve({ set: { 'dry mass': text }, watch }) : sheet.solve({ watch })
  telling(answer.problems, text)
  for (const { si, text: shown } of Object.values(answer.quantities))
    if (typeof si === 'number' && Number.isNaN(si)) throw new Error(`no number where one is told: ${shown}`)
  if (kind === 'variants') variants(sheet, text)
}

function variants(sheet: Sheet, text: string): void {
  let rows = 0
  const heads = sheet.variantFiles.map(() => text.split('\n')[0]!.split(','))
  for (const row of sheet.variants({ heads })) {
    if (Object.values(row).some(cell => typeof cell === 'number' && !Number.isFinite(cell)))
      throw new Error('a cell without a number')
    if (++rows === 10) break
  }
}
