import { untold } from '../state/asking.ts'

/** A conflict comes and goes above these: whoever works below the settings keeps under the eye what is there. */
export function stayInPlace(): void {
  untold.push(hold)
}

/** What is looked at, where it is on the page, and where that is scrolled to [px]. */
interface Held {
  readonly element: Element
  readonly place: number
  readonly scrolled: number
}

let held: Held | null = null

/**
 * What is about to be told moves nothing that is looked at: browsers see to that only where no part changes its least height as well. A hand on
 * its way is left alone (to look at each of its moves would cost more than a frame has): what counts is where it took hold.
 */
function hold(moving: boolean): void {
  held ??= scrollY > 0 ? lookedAt() : null
  const now = held
  if (moving || !now) return
  held = null
  requestAnimationFrame(() => {
    const { element, place, scrolled } = now
    const moved = element.isConnected ? placeOf(element) - place : 0
    // The browser may have followed by itself; a finger that scrolls meanwhile is let go on.
    if (Math.abs(moved) >= 1 && Math.abs(moved - (scrollY - scrolled)) >= 1) scrollBy(0, moved)
  })
}

function placeOf(element: Element): number {
  return element.getBoundingClientRect().top + scrollY
}

/** What has the focus, where it is in sight, else what is in the middle of the window. */
function lookedAt(): Held | null {
  const { activeElement } = document
  const element = wanted(activeElement) ? activeElement : document.elementFromPoint(innerWidth / 2, innerHeight / 2)
  return wanted(element) ? { element, place: placeOf(element), scrolled: scrollY } : null
}

function wanted(element: Element | null): element is Element {
  if (!element?.closest('.settings ~ section:not(.verdict), .beside > section')) return false
  const { top, bottom } = element.getBoundingClientRect()
  return bottom > 0 && top < innerHeight
}
