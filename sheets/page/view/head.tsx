import { signal } from '@preact/signals'
import { useRef } from 'preact/hooks'
import { openFiles, saveSheet } from '../state/files.ts'
import { cardOpen, draftsOpen, keysOpen } from '../state/panels.ts'
import * as store from '../state/store.ts'
import { isDark } from '../state/theme.ts'

const more = signal(false)
const units = { sheet: 'Units as written', SI: 'SI units', customary: 'Customary units' } as const
const nextUnits = { sheet: 'SI', SI: 'customary', customary: 'sheet' } as const

/** The first line: what this is, which file, and what can be done with the whole of it. */
export function Head() {
  const chooser = useRef<HTMLInputElement>(null)
  const dark = isDark()
  return (
    <header>
      <p class="brand">Loftsheet</p>
      <p class="file lettering">{store.fileName.value}</p>
      <p class="kept lettering">{store.kept.value}</p>
      <nav aria-label="the sheet as a whole" class={more.value ? 'unfolded' : ''}>
        <button type="button" class="foot" aria-disabled={!store.canUndo.value} onClick={store.undo}>
          Undo
        </button>
        <button type="button" class="foot" aria-disabled={!store.canRedo.value} onClick={store.redo}>
          Redo
        </button>
        <button type="button" class="foot spare" onClick={() => chooser.current?.click()}>
          Open
        </button>
        <button type="button" class="foot spare" onClick={saveSheet}>
          Save
        </button>
        <button
          type="button"
          class="foot spare"
          onClick={() => void import('./behind.ts').then(({ copyLink }) => copyLink())}
        >
          Link
        </button>
        <button
          type="button"
          class="foot spare"
          aria-expanded={draftsOpen.value}
          onClick={() => {
            draftsOpen.value = !draftsOpen.value
          }}
        >
          Drafts{store.drafts.value.length > 0 ? `, ${store.drafts.value.length}` : ''}
        </button>
        <button
          type="button"
          class="foot"
          id="flightcard"
          aria-expanded={cardOpen.value}
          onClick={() => {
            cardOpen.value = !cardOpen.value
          }}
        >
          Flight card
        </button>
        <button
          type="button"
          class="foot spare"
          onClick={() => {
            store.units.value = nextUnits[store.units.value]
          }}
        >
          {units[store.units.value]}
        </button>
        <button
          type="button"
          class="foot spare"
          onClick={() => {
            store.theme.value = dark ? 'paper' : 'slate'
          }}
        >
          {dark ? 'Paper' : 'Slate'}
        </button>
        <button
          type="button"
          class="foot spare"
          onClick={() => {
            keysOpen.value = true
          }}
        >
          Keys
        </button>
        <button
          type="button"
          class="foot more"
          aria-expanded={more.value}
          onClick={() => {
            more.value = !more.value
          }}
        >
          More
        </button>
      </nav>
      <input
        ref={chooser}
        type="file"
        accept=".loft,.csv,text/plain,text/csv"
        multiple
        hidden
        aria-label="open a sheet, and the files it names"
        onChange={event => {
          const chosen = [...(event.currentTarget.files ?? [])]
          event.currentTarget.value = ''
          void openFiles(chosen)
        }}
      />
    </header>
  )
}
