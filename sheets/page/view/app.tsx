import { useLayoutEffect, useRef } from 'preact/hooks'
import { spoken } from '../state/aloud.ts'
import { cardOpen, draftsOpen, keysOpen } from '../state/panels.ts'
import * as store from '../state/store.ts'
import { FirstRun } from './first-run.tsx'
import { Head } from './head.tsx'
import { Later } from './later.tsx'
import { Settings } from './settings.tsx'
import { SheetText } from './sheet-text.tsx'
import { Targets } from './targets.tsx'
import { Verdict } from './verdict.tsx'

/** The whole page, in the order in which it is read. */
export function App({ cautions }: { readonly cautions: string }) {
  const main = useRef<HTMLElement>(null)
  // Pictures are drawn as wide as the page is, so that their letters are never scaled.
  useLayoutEffect(() => {
    const measure = (): void => {
      const { width } = main.current!.getBoundingClientRect()
      if (width > 0) store.width.value = Math.floor(width)
    }
    measure()
    const watch = new ResizeObserver(measure)
    watch.observe(main.current!)
    return () => watch.disconnect()
  }, [])
  const there = store.facts.value !== null
  const told = store.varies.value !== null
  const files = store.filesNamed.value || Object.keys(store.files.value).length > 0
  const title = store.title.value || store.fileName.value
  return (
    <div class="page">
      <Head />
      <main ref={main}>
        <h1>{title}</h1>
        <Later when={draftsOpen.value} part="Drafts" />
        <Later when={told || cardOpen.value} part="Card" />
        <Later when={told} part="Conflict" />
        <Settings />
        <Verdict />
        <FirstRun />
        <Targets />
        <Later when={told} part="TradeMap" />
        <Later when={told} part="Flight" />
        <div class="beside">
          <Later when={there} part="Figures" />
          <Later when={there} part="Facts" />
        </div>
        <Later when={told} part="Sensitivities" />
        <Later when={told} part="Variants" />
        <Later when={files} part="FilesBeside" />
        <SheetText />
        <p class="cautions">{cautions}</p>
      </main>
      <p class="unseen" role="status" aria-live="polite">
        {spoken.value}
      </p>
      <Later when={keysOpen.value} part="Keys" />
    </div>
  )
}
