// How long a drag takes from the hand's move to everything redrawn: `npm run bench:page`.
import { readFileSync } from 'node:fs'
import { opened, stand } from './browser.ts'
import { builtPage } from './build.ts'

const place = await builtPage()
const text = readFileSync('sheets/examples/heron.loft', 'utf8')
const here = await stand(place, { name: 'heron.loft', text })
const { page } = await opened(here)
for (const what of ['lever', 'limit', 'map'] as const) {
  const times = await page.evaluate(async kind => {
    const handle = document.querySelector(
      kind === 'lever' ? '.pointer' : kind === 'limit' ? '[data-limit="peak g high"]' : '.mapmark',
    ) as SVGGElement
    handle.scrollIntoView({ block: 'center' })
    await new Promise(done => setTimeout(done, 300))
    const { x, y, width, height } = handle.getBoundingClientRect()
    const at = { clientX: x + width / 2, clientY: y + height / 2, pointerId: 1, bubbles: true }
    handle.setPointerCapture = () => {}
    handle.hasPointerCapture = () => true
    handle.dispatchEvent(new PointerEvent('pointerdown', at))
    const all: number[] = []
    for (let k = 0; k < 160; k++) {
      const shift = 30 * Math.sin(k / 9) - (kind === 'limit' ? 20 : 0)
      const from = performance.now()
      const drawn = new Promise<number>(done => {
        const watch = new MutationObserver(() => {
          if (document.documentElement.dataset.state === 'still') {
            watch.disconnect()
            requestAnimationFrame(() => setTimeout(() => done(performance.now() - from)))
          }
        })
        watch.observe(document.documentElement, { attributes: true, attributeFilter: ['data-state'] })
      })
      handle.dispatchEvent(
        new PointerEvent('pointermove', {
          ...at,
          clientX: at.clientX + shift,
          clientY: at.clientY + (kind === 'map' ? shift / 2 : 0),
        }),
      )
      const time = await Promise.race([drawn, new Promise<number>(done => setTimeout(() => done(Number.NaN), 1000))])
      if (Number.isFinite(time)) all.push(time)
    }
    handle.dispatchEvent(new PointerEvent('pointerup', at))
    return all.slice(20).sort((a, b) => a - b)
  }, what)
  const at = (share: number): string => times[Math.floor(share * (times.length - 1))]?.toFixed(1) ?? '–'
  process.stdout.write(
    `${what} dragged to everything redrawn: median ${at(0.5)} ms, 95th percentile ${at(0.95)} ms, of ${times.length}\n`,
  )
}
await here.leave()
