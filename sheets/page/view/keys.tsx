import { useEffect, useRef } from 'preact/hooks'
import { keysOpen } from '../state/panels.ts'

const KEYS = [
  ['arrows', 'one step'],
  ['Shift and arrows, Page Up, Page Down', 'ten steps'],
  ['Home, End', 'the ends'],
  ['P', 'pin a lever, or let it go; on the map, both levers'],
  ['Enter', 'type a limit or a setting; on the map, pin both levers'],
  ['Escape', 'let go, put back, or fold away'],
  ['Ctrl and Z, Ctrl and Y', 'undo, redo'],
  ['Ctrl and F', 'in the text: find words'],
  ['Ctrl and Space', 'in the text: the words that may stand there'],
  ['F6', 'the next section'],
  ['?', 'this list'],
] as const

/** The list of keys, as a dialog of the browser's own. */
export function Keys() {
  const box = useRef<HTMLDialogElement>(null)
  const open = keysOpen.value
  useEffect(() => {
    if (open) box.current?.showModal()
    else box.current?.close()
  }, [open])
  return (
    <dialog
      ref={box}
      aria-labelledby="keys"
      onClose={() => {
        keysOpen.value = false
      }}
    >
      <h2 id="keys">Keys</h2>
      <dl>
        {KEYS.map(([key, words]) => (
          <div key={key}>
            <dt>{key}</dt>
            <dd>{words}</dd>
          </div>
        ))}
      </dl>
      <button type="button" class="frame" onClick={() => box.current?.close()}>
        Close
      </button>
    </dialog>
  )
}
