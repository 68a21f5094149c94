import { untold } from '../state/asking.ts'
import * as store from '../state/store.ts'

/** What is kept where it is on the page [px]: in any case, or only where it would go out of sight. */
interface Held {
  readonly element: Element
  readonly place: number
  readonly inAnyCase: boolean
}

/**
 * What is worked on stays where it is in the window. Answers make parts of the page above it come, go, grow and shrink: a conflict, a flight, a
 * list of figures. Below the settings nothing moves that is looked at; what has the focus of keys goes nowhere out of sight.
 */
export function keepPlace(): void {
  let held: Held | null = null
  const look = (): void => {
    if (!held?.inAnyCase) held = byKeys()
  }
  const settle = (): void => {
    // A hand on its way is left alone (to look at each of its moves would cost more than a frame has): what counts is where it took hold.
    if (store.moving.peek() !== null) return
    if (held?.element.isConnected && (held.inAnyCase || !isInSight(held.element))) {
      // As places on the page: a finger that scrolls meanwhile is let go on.
      const moved = placeOf(held.element) - held.place
      if (Math.abs(moved) >= 1) scrollBy({ top: moved, behavior: 'instant' })
    }
    held = byKeys()
  }
  untold.push(moving => {
    if (!held?.inAnyCase) held = lookedAt() ?? held
    if (!moving) requestAnimationFrame(settle)
  })
  // Between layout and painting: nobody sees it move.
  new ResizeObserver(settle).observe(document.body)
  addEventListener('scroll', look, { passive: true })
  for (const kind of ['focusin', 'focusout', 'keyup'] as const) addEventListener(kind, look)
  look()
}

/** What has the focus of keys, in sight; of the text it is the cursor. */
function byKeys(): Held | null {
  const here = document.activeElement
  const inside = here?.shadowRoot?.activeElement ?? here
  if (!inside?.matches(':focus-visible')) return null
  const element = here?.shadowRoot?.querySelector('.cm-cursor-primary') ?? inside
  return isInSight(element) ? { element, place: placeOf(element), inAnyCase: false } : null
}

/** What is looked at below the settings of a page that is scrolled: what has the focus, where it is in sight, else what is in the middle of the window. */
function lookedAt(): Held | null {
  if (scrollY === 0) return null
  const { activeElement } = document
  const element = isBelow(activeElement) ? activeElement : document.elementFromPoint(innerWidth / 2, innerHeight / 2)
  return isBelow(element) ? { element, place: placeOf(element), inAnyCase: true } : null
}

function isBelow(element: Element | null): element is Element {
  if (!element?.closest('.settings ~ section:not(.verdict), .beside > section')) return false
  const { top, bottom } = element.getBoundingClientRect()
  return bottom > 0 && top < innerHeight
}

function isInSight(element: Element): boolean {
  const { top, bottom } = element.getBoundingClientRect()
  return top >= 0 && bottom <= innerHeight
}

function placeOf(element: Element): number {
  return element.getBoundingClientRect().top + scrollY
}
