// How long a drag takes from the hand's move to everything redrawn: `npm run bench:page`. Pages built before may be named behind it: they
// then take turns, so that they are compared under the same load. With `--threads` it tells what a move costs each thread instead.
import { readFileSync } from 'node:fs'
import { opened, stand } from './browser.ts'
import { builtPage } from './build.ts'
import { type Drawn, dragged, KINDS, type Kind } from './drags.ts'
import { tellThreads } from './threads.ts'

const MOVES = 80
/** The first moves warm the code up. */
const WARM = 20
const ROUNDS = 2

const given = process.argv.slice(2).filter(each => !each.startsWith('--'))
const places = given.length > 0 ? given.map(each => (each.endsWith('/') ? each : `${each}/`)) : [await builtPage()]
const text = readFileSync('sheets/examples/heron.loft', 'utf8')
/** A screen's beat makes whatever is ready wait up to 16.7 ms; a browser that heeds none shows how long the work itself takes. */
const browsers = [
  ['at 60 frames a second', []],
  ['a frame as soon as there is something to draw', ['--disable-frame-rate-limit', '--disable-gpu-vsync']],
] as const
if (process.argv.includes('--threads')) await threads()
else await latencies()

async function threads(): Promise<void> {
  for (const place of places) {
    const here = await stand(place, { name: 'heron.loft', text })
    const { page } = await opened(here)
    if (places.length > 1) process.stdout.write(`${place}\n`)
    await tellThreads(page)
    await here.leave()
  }
}

async function latencies(): Promise<void> {
  const said: Record<string, Record<Kind, Drawn[]>> = {}
  for (let round = 0; round < (places.length > 1 ? ROUNDS : 1); round++)
    for (const [name, flags] of browsers)
      for (const place of places) {
        const title = places.length > 1 ? `${place}, ${name}` : name
        const all = said[title] ?? { lever: [], limit: [], map: [] }
        said[title] = all
        const here = await stand(place, { name: 'heron.loft', text }, flags)
        const { page } = await opened(here)
        for (const kind of KINDS) all[kind].push(...(await dragged(page, kind, MOVES)).slice(WARM))
        await here.leave()
      }
  for (const [name, all] of Object.entries(said)) {
    process.stdout.write(`${name}\n`)
    for (const kind of KINDS) process.stdout.write(`  ${kind} dragged to everything redrawn: ${words(all[kind])}\n`)
  }
}

function words(all: readonly Drawn[]): string {
  const told = (of: (drawn: Drawn) => number): string => {
    const times = all.map(of).sort((a, b) => a - b)
    const at = (share: number): string => times[Math.floor(share * (times.length - 1))]?.toFixed(1) ?? '–'
    return `${at(0.5)} and ${at(0.95)} ms`
  }
  const total = told(({ nodes, wait, frame }) => nodes + wait + frame)
  const work = told(({ nodes, frame }) => nodes + frame)
  return `median and 95th percentile ${total}; without the wait for a frame ${work} (nodes ${told(({ nodes }) => nodes)}, then style, layout and paint ${told(({ frame }) => frame)}); ${all.length} moves`
}
