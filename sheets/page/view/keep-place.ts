import { untold } from '../state/asking.ts'
import * as store from '../state/store.ts'

/** What is kept where it is in the window, and where it is on the page [px]. */
interface Held {
  readonly element: Element
  readonly place: number
}

/**
 * What is worked on stays where it is in the window. Answers make parts of the page above it come, go, grow and shrink: a conflict, a flight, a
 * list of figures. Below the settings nothing moves that is looked at; what has the focus of keys goes nowhere out of sight.
 */
export function keepPlace(): void {
  let looked: Held | null = null
  let worked: Held | null = null
  const look = (): void => {
    if (!looked) worked = byKeys()
  }
  const settle = (): void => {
    // A hand on its way is left alone (to look at each of its moves would cost more than a frame has): what counts is where it took hold.
    if (store.moving.peek() !== null) return
    // As places on the page: a finger that scrolls meanwhile is let go on.
    const followed = looked ? follow(looked, 0) : 0
    if (worked && !isInSight(worked.element)) follow(worked, followed)
    looked = null
    worked = byKeys()
  }
  untold.push(moving => {
    looked ??= lookedAt()
    if (!moving) requestAnimationFrame(settle)
  })
  // Between layout and painting: nobody sees it move.
  new ResizeObserver(settle).observe(document.body)
  addEventListener('scroll', look, { passive: true })
  for (const kind of ['focusin', 'focusout', 'keyup'] as const) addEventListener(kind, look)
  look()
}

/** Scrolls as far as something has moved on the page, less what was scrolled for it already; gives how far it has moved [px]. */
function follow({ element, place }: Held, already: number): number {
  if (!element.isConnected) return 0
  const moved = placeOf(element) - place
  if (Math.abs(moved - already) >= 1) scrollBy({ top: moved - already, behavior: 'instant' })
  return moved
}

/** What has the focus of keys, in sight; of the text it is the cursor. */
function byKeys(): Held | null {
  const here = document.activeElement
  const inside = here?.shadowRoot?.activeElement ?? here
  if (!inside?.matches(':focus-visible')) return null
  const element = here?.shadowRoot?.querySelector('.cm-cursor-primary') ?? inside
  return isInSight(element) ? { element, place: placeOf(element) } : null
}

/** What is looked at below the settings of a page that is scrolled: what has the focus, where it is in sight, else what is in the middle of the window. */
function lookedAt(): Held | null {
  if (scrollY === 0) return null
  const { activeElement } = document
  const element = isBelow(activeElement) ? activeElement : document.elementFromPoint(innerWidth / 2, innerHeight / 2)
  return isBelow(element) ? { element, place: placeOf(element) } : null
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
