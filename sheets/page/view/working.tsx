import { useLayoutEffect, useRef } from 'preact/hooks'
import * as store from '../state/store.ts'
import { keyOf } from './handle-keys.ts'
import { shown } from './numbers.ts'

/** What is chosen to be worked out, where it has the focus by then: a button, in the figures or in the targets. */
const ASKS = 'button.number, button.plain'

/** How one quantity comes about. It is far from what asked for it, so that it takes the focus, and gives it back when it is folded away. */
export function Working() {
  const working = store.working.value
  const box = useRef<HTMLDivElement>(null)
  const asker = useRef<HTMLElement | null>(null)
  /** Where the page was scrolled to before, where it had to be scrolled to this [px]. */
  const left = useRef<number | null>(null)
  useLayoutEffect(() => {
    if (!working || working.again) return
    const asks = document.activeElement
    // A button that a finger has pressed has the focus in some browsers only.
    if (asks instanceof HTMLElement && asks.matches(ASKS)) {
      asker.current = asks
      box.current!.querySelector('pre')!.focus({ preventScroll: true })
    }
    const before = scrollY
    box.current!.scrollIntoView({ block: 'nearest' })
    left.current = scrollY === before ? null : before
  }, [working])
  if (!working) return null
  const fold = (): void => {
    asker.current?.focus({ preventScroll: true })
    if (left.current !== null) scrollTo(scrollX, left.current)
    store.working.value = null
  }
  return (
    <div
      ref={box}
      role="group"
      aria-label="working"
      class={store.workingOld.value ? 'working stale' : 'working'}
      onKeyDown={event => {
        if (keyOf(event) === 'Escape') fold()
      }}
    >
      <div class="row">
        <h3>
          The working of {working.name}
          {store.workingOld.value ? ', from before the change' : ''}
        </h3>
        <button type="button" class="foot" onClick={fold}>
          Fold away
        </button>
      </div>
      <pre role="region" tabindex={0} aria-label={`the working of ${working.name}`}>
        {working.lines.map((line, k) => (
          // Lines have no name but their place.
          <span key={k}>
            {line.map(({ text, ink }, n) => (
              <span key={n} class={ink}>
                {shown(text)}
              </span>
            ))}
            {'\n'}
          </span>
        ))}
      </pre>
    </div>
  )
}
