// How long a drag takes from the hand's move to everything redrawn: `npm run bench:page`. Pages built before may be named behind it: they
// then take turns, so that they are compared under the same load.
import { readFileSync } from 'node:fs'
import type { Page } from 'playwright-core'
import { opened, stand } from './browser.ts'
import { builtPage } from './build.ts'

/** What a hand takes, and the parts of the time that passes until all is redrawn [ms]. */
const KINDS = ['lever', 'limit', 'map'] as const
type Kind = (typeof KINDS)[number]
interface Drawn {
  /** From the move to the answer, drawn pictures and all, put into the page's nodes. */
  readonly nodes: number
  /** From there to the beginning of the next frame: nothing is done in it that belongs to the move. */
  readonly wait: number
  /** Style, layout and paint. */
  readonly frame: number
}
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
const said: Record<string, Record<Kind, Drawn[]>> = {}
for (let round = 0; round < (places.length > 1 ? ROUNDS : 1); round++)
  for (const [name, flags] of browsers)
    for (const place of places) {
      const title = places.length > 1 ? `${place}, ${name}` : name
      const all = said[title] ?? { lever: [], limit: [], map: [] }
      said[title] = all
      const here = await stand(place, { name: 'heron.loft', text }, flags)
      const { page } = await opened(here)
      for (const kind of KINDS) all[kind].push(...(await movesOf(page, kind)).slice(WARM))
      await here.leave()
    }
for (const [name, all] of Object.entries(said)) {
  process.stdout.write(`${name}\n`)
  for (const kind of KINDS) process.stdout.write(`  ${kind} dragged to everything redrawn: ${words(all[kind])}\n`)
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

/** Moves what is taken to and fro, each time when the last move is on show; moves that change nothing (within a step) do not count. */
function movesOf(page: Page, kind: Kind): Promise<readonly Drawn[]> {
  return page.evaluate(
    async ([what, moves]) => {
      const handle = document.querySelector(
        what === 'lever' ? '.pointer' : what === 'limit' ? '[data-limit="peak g high"]' : '.mapmark',
      ) as SVGGElement
      handle.scrollIntoView({ block: 'center' })
      await new Promise(done => setTimeout(done, 300))
      const { x, y, width, height } = handle.getBoundingClientRect()
      const at = { clientX: x + width / 2, clientY: y + height / 2, pointerId: 1, bubbles: true }
      handle.setPointerCapture = () => {}
      handle.hasPointerCapture = () => true
      handle.dispatchEvent(new PointerEvent('pointerdown', at))
      const root = document.documentElement
      const all: Drawn[] = []
      for (let k = 0; all.length < moves && k < 10 * moves; k++) {
        const shift = 30 * Math.sin(k / 9) - (what === 'limit' ? 20 : 0)
        const from = performance.now()
        handle.dispatchEvent(
          new PointerEvent('pointermove', {
            ...at,
            clientX: at.clientX + shift,
            clientY: at.clientY + (what === 'map' ? shift / 2 : 0),
          }),
        )
        if (root.dataset.state === 'still') continue
        const drawn = new Promise<Drawn>(done => {
          const watch = new MutationObserver(async () => {
            if (root.dataset.state !== 'still') return
            watch.disconnect()
            const frame = new Promise<number>(begun => requestAnimationFrame(() => begun(performance.now())))
            const nodes = await new Promise<number>(due => {
              // All else that is due is done before a message comes.
              const { port1, port2 } = new MessageChannel()
              port1.onmessage = () => due(performance.now())
              port2.postMessage(null)
            })
            // Where the frame came meanwhile there was no wait.
            const began = Math.max(nodes, await frame)
            await new Promise(painted => setTimeout(painted))
            done({ nodes: nodes - from, wait: began - nodes, frame: performance.now() - began })
          })
          watch.observe(root, { attributes: true, attributeFilter: ['data-state'] })
        })
        all.push(await drawn)
      }
      handle.dispatchEvent(new PointerEvent('pointerup', at))
      return all
    },
    [kind, MOVES] as const,
  )
}
