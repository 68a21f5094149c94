import { useLayoutEffect, useRef } from 'preact/hooks'
import { cardOpen } from '../state/panels.ts'
import * as store from '../state/store.ts'
import { keyOf } from './handle-keys.ts'
import { inReadersSigns } from './numbers.ts'

/**
 * The flight card, which is also what the page prints. It is a document of its own: read apart, its style adopted inside a shadow root,
 * its nodes put in as nodes.
 */
export function Card() {
  const place = useRef<HTMLDivElement>(null)
  const card = store.card.value
  const open = cardOpen.value
  const fold = (): void => {
    document.getElementById('flightcard')!.focus()
    cardOpen.value = false
  }
  useLayoutEffect(() => {
    const element = place.current
    if (!element) return
    if (!card) {
      element.shadowRoot?.replaceChildren()
      return
    }
    const root = element.shadowRoot ?? element.attachShadow({ mode: 'open' })
    const style = new CSSStyleSheet()
    style.replaceSync(card.style.replace(/^body\b/gm, ':host'))
    root.adoptedStyleSheets = [style]
    const read = new DOMParser().parseFromString(card.body, 'text/html')
    inReadersSigns(read.body, '*')
    root.replaceChildren(...[...read.body.childNodes].map(node => document.importNode(node, true)))
  }, [card])
  return (
    <section
      class={`cardbox${open ? '' : ' closed'}`}
      aria-label="flight card"
      onKeyDown={event => {
        if (keyOf(event) === 'Escape') fold()
      }}
    >
      <div class="row cardhead">
        <button type="button" class="frame" onClick={() => print()}>
          Print
        </button>
        <button type="button" class="foot" onClick={fold}>
          Fold away
        </button>
      </div>
      <div class="card" ref={place} />
    </section>
  )
}
