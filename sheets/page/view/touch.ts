/**
 * A finger on a handle moves the handle, not the page: Chromium heeds `touch-action` on no shape inside a drawing, and would end each drag after
 * a few pixels.
 */
export function keepPage(event: TouchEvent): void {
  event.preventDefault()
}

/** A hand that has gone no farther than this has pressed a handle, not dragged it [px]. */
export const STILL = 3
