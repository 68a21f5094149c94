import * as store from '../state/store.ts'

/**
 * What is worked on by keys does not go out of sight. Each answer makes parts of the page longer or shorter: a conflict that comes above a limit
 * at the head of the page, a flight above the text that is written. Under a hand that moves the page stands still by itself.
 */
export function keepInSight(): void {
  let held: Element | null = null
  let top = 0
  const look = (): void => {
    held = atWork()
    top = held?.getBoundingClientRect().top ?? 0
    if (held && !isInSight(held)) held = null
  }
  // Between layout and painting: nobody sees it move.
  const watch = new ResizeObserver(() => {
    const now = atWork()
    if (now && now === held && !isInSight(now) && store.moving.peek() === null)
      scrollBy({ top: now.getBoundingClientRect().top - top, behavior: 'instant' })
    look()
  })
  watch.observe(document.body)
  addEventListener('scroll', look, { passive: true })
  addEventListener('focusin', look)
  addEventListener('keyup', look)
  look()
}

/** What has the focus of keys; of the text it is the cursor. */
function atWork(): Element | null {
  const here = document.activeElement
  const inside = here?.shadowRoot?.activeElement ?? here
  if (!inside?.matches(':focus-visible')) return null
  return here?.shadowRoot?.querySelector('.cm-cursor-primary') ?? here
}

function isInSight(element: Element): boolean {
  const { top, bottom } = element.getBoundingClientRect()
  return top >= 0 && bottom <= innerHeight
}
