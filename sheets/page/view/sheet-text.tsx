import { effect, useSignal } from '@preact/signals'
import { useEffect, useRef, useState } from 'preact/hooks'
import heron from '../../examples/heron.loft?raw'
import type { SheetEditor } from '../editor/editor.ts'
import { ask } from '../state/asking.ts'
import { opened } from '../state/draft.ts'
import * as store from '../state/store.ts'
import { useSight } from './measure.ts'

/** The sheet's own text, the truth that every gesture writes to. A plain field until the editor has come. */
export function SheetText() {
  const section = useRef<HTMLElement>(null)
  const place = useRef<HTMLDivElement>(null)
  const seen = useSignal(true)
  useSight(section, now => {
    seen.value = now
  })
  const [folded, setFolded] = useState(false)
  const [ready, setReady] = useState(false)
  useEffect(() => {
    let editor: SheetEditor | null = null
    let closed = false
    let release = (): void => {}
    void import('../editor/editor.ts').then(({ openEditor }) => {
      if (closed || !place.current) return
      const opened = openEditor(place.current, store.draft.value.text, {
        write: store.changeText,
        undo: store.undo,
        redo: store.redo,
      })
      editor = opened
      setReady(true)
      release = effect(() => {
        // Out of sight it waits until the hand is still.
        if (store.moving.value !== null && !seen.value) return
        opened.show(store.draft.value.text)
        const answer = store.answer.value
        if (answer && store.answered.value === store.draft.value.text) opened.mark(answer)
      })
    })
    return () => {
      closed = true
      release()
      editor?.close()
    }
  }, [])
  return (
    <section ref={section} aria-labelledby="sheet">
      <div class="row">
        <h2 id="sheet">The sheet</h2>
        <p class="hint">every gesture above writes here, in the smallest way; comments and layout stay</p>
        <button type="button" class="foot" aria-expanded={!folded} onClick={() => setFolded(!folded)}>
          {folded ? 'Open it' : 'Fold away'}
        </button>
        <button type="button" class="foot" onClick={() => ask({ kind: 'tidy', text: store.draft.value.text })}>
          Tidy
        </button>
      </div>
      {store.draft.value.text.trim() === '' && (
        <p class="hint">
          An empty sheet. Write a target below, open a file, or{' '}
          <button type="button" class="foot" onClick={startFromHeron}>
            start from the Heron
          </button>
        </p>
      )}
      <div class={folded ? 'away' : ''}>
        <div class="editor" ref={place} />
        {!ready && (
          <textarea
            class="plaintext"
            aria-label="text of the sheet"
            spellcheck={false}
            value={store.draft.value.text}
            onInput={event => store.changeText(event.currentTarget.value, 'typing')}
          />
        )}
      </div>
    </section>
  )
}

function startFromHeron(): void {
  store.openAnother(opened(heron))
  store.fileName.value = 'heron.loft'
}
