import { signal } from '@preact/signals'
import { useRef } from 'preact/hooks'
import { listed } from '../../report/listed.ts'
import { namedFiles, openFiles, saveSheet } from '../state/files.ts'
import type { TooLong } from '../state/link.ts'
import * as store from '../state/store.ts'

/** Whether the panel of drafts is open, the flight card, and the list of keys. */
export const draftsOpen = signal(false)
export const cardOpen = signal(false)
export const keysOpen = signal(false)
const more = signal(false)
const units = { sheet: 'Units as written', SI: 'SI units', customary: 'Customary units' } as const
const nextUnits = { sheet: 'SI', SI: 'customary', customary: 'sheet' } as const

/** The first line: what this is, which file, and what can be done with the whole of it. */
export function Head() {
  const chooser = useRef<HTMLInputElement>(null)
  const dark = store.isDark()
  const copyLink = async (): Promise<void> => {
    const { linkTo } = await import('../state/link.ts')
    const files = namedFiles()
    const { fragment, without } = linkTo(store.draft.value, files)
    const address = `${location.href.split('#')[0]}#${fragment}`
    history.replaceState(null, '', address)
    store.linked.value = store.draft.value
    const names = Object.keys(files)
    const inside = names.length > 0 && without === null ? 'the sheet and its files are in it' : 'the sheet is in it'
    store.note.value = without === null ? '' : linkWithout(names, without)
    try {
      await navigator.clipboard.writeText(address)
      store.kept.value = `link copied; ${inside}`
    } catch {
      store.kept.value = `the link stands in the address line; ${inside}`
    }
    store.spoken.value = `${store.kept.value}. ${store.note.value}`
  }
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
        <button type="button" class="foot spare" onClick={() => void copyLink()}>
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

function linkWithout(names: readonly string[], why: TooLong | 'unpacked'): string {
  const many = (count: number): string => count.toLocaleString('en')
  const files = names.length === 1 ? 'the file' : 'the files'
  const reason =
    why === 'unpacked'
      ? `${files} would be too large to be opened again from a link`
      : `the whole would be ${many(why.letters)} characters long, and links of more than ${many(why.most)} are cut off on their way`
  return (
    `The link is without ${listed(names)}: ${reason}. Send ${files} beside it, or all in one file: ` +
    `loftsheet page ${store.fileName.value} --out lesson.html`
  )
}
