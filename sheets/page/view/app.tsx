import { useLayoutEffect, useRef, useState } from 'preact/hooks'
import * as store from '../state/store.ts'
import { FilesBeside } from './beside.tsx'
import { Card } from './card.tsx'
import { Conflict } from './conflict.tsx'
import { Drafts } from './drafts.tsx'
import { Facts } from './facts.tsx'
import { Figures } from './figures.tsx'
import { FirstRun } from './first-run.tsx'
import { Flight } from './flight.tsx'
import { Head } from './head.tsx'
import { Keys } from './keys.tsx'
import { Sensitivities } from './sensitivities.tsx'
import { Settings } from './settings.tsx'
import { SheetText } from './sheet-text.tsx'
import { Targets } from './targets.tsx'
import { TradeMap } from './trade-map.tsx'
import { Variants } from './variants.tsx'
import { Verdict } from './verdict.tsx'

/** The whole page, in the order in which it is read. */
export function App({ cautions }: { readonly cautions: string }) {
  const [card, setCard] = useState(false)
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
  const title = store.title.value || store.fileName.value
  return (
    <div class="page">
      <Head onCard={() => setCard(!card)} />
      <main ref={main}>
        <h1>{title}</h1>
        <Drafts />
        <Card open={card} onClose={() => setCard(false)} />
        <Conflict />
        <Settings />
        <Verdict />
        <FirstRun />
        <Targets />
        <TradeMap />
        <Flight />
        <div class="beside">
          <Figures />
          <Facts />
        </div>
        <Sensitivities />
        <Variants />
        <FilesBeside />
        <SheetText />
        <p class="cautions">{cautions}</p>
      </main>
      <p class="unseen" role="status" aria-live="polite">
        {store.spoken.value}
      </p>
      <Keys />
    </div>
  )
}
