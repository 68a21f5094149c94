import { keysOpen } from '../state/panels.ts'
import * as store from '../state/store.ts'

/** Keys of the whole page. */
export function listenToKeys(): void {
  addEventListener('keydown', keys)
}

/** Those of a field or of the text stay with it; of undo, where nothing is typed into the field that it could take back. */
function keys(event: KeyboardEvent): void {
  if (event.defaultPrevented || event.altKey) return
  const field = (event.composedPath()[0] as Element).closest?.('input, textarea, select, [contenteditable="true"]')
  const typed = field && !(field instanceof HTMLInputElement && field.value === field.defaultValue)
  const command = event.ctrlKey || event.metaKey
  const key = command ? `Ctrl ${event.key.toLowerCase()}` : event.key
  if (key === 'F6') nextSection(event.shiftKey)
  else if (key === '?' && !field) keysOpen.value = true
  else if (key === 'Ctrl z' && !typed) event.shiftKey ? store.redo() : store.undo()
  else if (key === 'Ctrl y' && !typed) store.redo()
  else return
  event.preventDefault()
}

/** The first thing to be focused in the section after (before) the one that has the focus. */
function nextSection(back: boolean): void {
  const parts = [...document.querySelectorAll('header, main > section, .beside > section')].filter(
    part => part.getClientRects().length > 0 && part.querySelector(FOCUSED),
  )
  const here = parts.findIndex(part => part.contains(document.activeElement))
  const next = parts[(here + (back ? -1 : 1) + parts.length) % parts.length]
  next?.querySelector<HTMLElement>(FOCUSED)?.focus()
}

const FOCUSED = 'button:not([aria-disabled="true"]), [tabindex="0"], input:not([hidden])'
