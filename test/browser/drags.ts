import type { Page } from 'playwright-core'

/** What a hand takes. */
export const KINDS = ['lever', 'limit', 'map'] as const
export type Kind = (typeof KINDS)[number]
/** The parts of the time that passes until all is redrawn [ms]. */
export interface Drawn {
  /** From the move to the answer, drawn pictures and all, put into the page's nodes. */
  readonly nodes: number
  /** From there to the beginning of the next frame: nothing is done in it that belongs to the move. */
  readonly wait: number
  /** Style, layout and paint. */
  readonly frame: number
}

/** Moves what is taken to and fro, each time when the last move is on show; moves that change nothing (within a step) do not count. */
export function dragged(page: Page, kind: Kind, count: number): Promise<readonly Drawn[]> {
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
        // A browser hands a move over where a frame begins.
        await new Promise(begun => requestAnimationFrame(begun))
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
    [kind, count] as const,
  )
}
