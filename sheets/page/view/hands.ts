import { openFiles } from '../state/files.ts'
import * as store from '../state/store.ts'
import { keysOpen } from './head.tsx'

/** Keys of the whole page, and files dropped on it. */
export function listen(): void {
  addEventListener('keydown', keys)
  addEventListener('dragover', event => event.preventDefault())
  addEventListener('drop', event => {
    event.preventDefault()
    void openFiles(event.dataTransfer?.files ?? [])
  })
}

/** Those of a field or of the text stay with it. */
function keys(event: KeyboardEvent): void {
  if (event.defaultPrevented) return
  const field = (event.composedPath()[0] as Element).closest?.('input, textarea, [contenteditable="true"]')
  const command = event.ctrlKey || event.metaKey
  if (event.key === 'F6') nextSection(event.shiftKey)
  else if (field) return
  else if (command && event.key.toLowerCase() === 'z') event.shiftKey ? store.redo() : store.undo()
  else if (command && event.key.toLowerCase() === 'y') store.redo()
  else if (event.key === '?') keysOpen.value = true
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
