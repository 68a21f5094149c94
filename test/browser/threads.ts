// What a drag costs, thread by thread: `npm run bench:page -- --threads`. Processor time, which tells the same on a busy machine as on a quiet one, near enough.
import type { Page } from 'playwright-core'
import { dragged, KINDS } from './drags.ts'

/** One stretch of work in a trace of the browser: microseconds, of the clock (`dur`) and of the processor (`tdur`). */
interface Work {
  readonly name: string
  readonly ph: string
  readonly pid: number
  readonly tid: number
  readonly ts: number
  readonly dur?: number
  readonly tdur?: number
  readonly args?: { readonly name?: string }
}

const MOVES = 60
const WARM = 20
/** Threads below this share of a move [ms] are left out. */
const LEAST = 0.5
/** So many kinds of work are named of each thread. */
const NAMED = 5
const CATEGORIES = ['toplevel', 'devtools.timeline', 'cc', 'viz', 'v8']

/** Prints the processor time of each thread for one move of each kind of drag, with what it goes to. */
export async function tellThreads(page: Page): Promise<void> {
  const browser = page.context().browser()!
  for (const kind of KINDS) {
    await dragged(page, kind, WARM)
    const line = await browser.newBrowserCDPSession()
    const all: Work[] = []
    line.on('Tracing.dataCollected', ({ value }) => all.push(...(value as unknown as Work[])))
    await line.send('Tracing.start', {
      transferMode: 'ReportEvents',
      traceConfig: { includedCategories: CATEGORIES },
    })
    await dragged(page, kind, MOVES)
    const complete = new Promise(done => line.once('Tracing.tracingComplete', done))
    await line.send('Tracing.end')
    await complete
    await line.detach()
    process.stdout.write(`${kind}: processor time for each move\n${words(all)}`)
  }
}

function words(all: readonly Work[]): string {
  const names = new Map<string, string>()
  for (const { name, pid, tid, args } of all)
    if (name === 'thread_name' && args?.name) names.set(`${pid} ${tid}`, args.name)
  const byThread = new Map<string, Map<string, number>>()
  const threads = new Map<string, Work[]>()
  for (const each of all) {
    if (each.ph !== 'X') continue
    const key = `${each.pid} ${each.tid}`
    const list = threads.get(key) ?? []
    threads.set(key, list)
    list.push(each)
  }
  for (const [key, list] of threads) {
    const name = names.get(key) ?? 'another'
    const sums = byThread.get(name) ?? new Map<string, number>()
    byThread.set(name, sums)
    for (const [what, time] of ownTimes(list)) sums.set(what, (sums.get(what) ?? 0) + time)
  }
  const each = (micros: number): number => micros / 1000 / MOVES
  return [...byThread]
    .map(([name, sums]) => ({ name, sums, total: each([...sums.values()].reduce((a, b) => a + b, 0)) }))
    .filter(({ total }) => total >= LEAST)
    .sort((a, b) => b.total - a.total)
    .map(({ name, sums, total }) => {
      const largest = [...sums].sort(([, a], [, b]) => b - a).slice(0, NAMED)
      const parts = largest.map(([what, time]) => `${what} ${each(time).toFixed(1)}`)
      return `  ${total.toFixed(1).padStart(5)} ms  ${name}: ${parts.join(', ')}\n`
    })
    .join('')
}

/** What each kind of work took of one thread, what lies inside it not counted. */
function ownTimes(list: readonly Work[]): Map<string, number> {
  const sums = new Map<string, number>()
  const add = (name: string, time: number): void => void sums.set(name, (sums.get(name) ?? 0) + time)
  const open: Work[] = []
  const end = ({ ts, dur = 0 }: Work): number => ts + dur
  for (const each of [...list].sort((a, b) => a.ts - b.ts || end(b) - end(a))) {
    while (open.length > 0 && end(open.at(-1)!) <= each.ts) open.pop()
    const { tdur = 0 } = each
    add(each.name, tdur)
    const around = open.at(-1)
    if (around) add(around.name, -tdur)
    open.push(each)
  }
  return sums
}
