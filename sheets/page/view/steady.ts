import { computed, effect } from '@preact/signals'
import * as store from '../state/store.ts'

/** What may grow and shrink with what it says. */
const PARTS = 'main > section, .beside > section, .setting, .target'

/** A hand moves, or what explains the answer is not known yet: what is said changes for a moment only. */
const passing = computed(() => {
  const { answer, fault, moving, stopped, why } = store
  if (moving.value !== null) return true
  if (answer.value === null || answer.value.outcome === 'faulty' || store.stale.value) return false
  return why.value === null && !stopped.value && fault.value === null
})

/**
 * While what is said changes for a moment only, no part of the page gets lower than it was: what lies beneath would move under the hand and
 * the eye, and all of it would be painted anew.
 */
export function staySteady(): void {
  let parts: readonly HTMLElement[] = []
  const watch = new ResizeObserver(entries => {
    for (const { target, borderBoxSize } of entries) keep(target as HTMLElement, borderBoxSize[0]!.blockSize)
  })
  effect(() => {
    watch.disconnect()
    for (const part of parts) part.style.minHeight = ''
    parts = passing.value ? [...document.querySelectorAll<HTMLElement>(PARTS)] : []
    // All are measured before any is held: each would have the page laid out once more.
    const heights = parts.map(part => part.getBoundingClientRect().height)
    parts.forEach((part, k) => {
      keep(part, heights[k]!)
      watch.observe(part)
    })
  })
}

/** Holds a part at a height, where it is not held at a greater one. */
function keep(part: HTMLElement, height: number): void {
  const held = Number.parseFloat(part.style.minHeight)
  if (!(held >= height)) part.style.minHeight = `${height}px`
}
