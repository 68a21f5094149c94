import {
  closeSearchPanel,
  findNext,
  findPrevious,
  getSearchQuery,
  openSearchPanel,
  search,
  searchPanelOpen,
  setSearchQuery,
} from '@codemirror/search'
import { EditorState, type Extension } from '@codemirror/state'
import { type Command, EditorView, keymap, type Panel, type ViewUpdate } from '@codemirror/view'
import { placesFrom, queryOf } from '../text/found.ts'

/** Only the lines near the window are in the page, so that the browser's own search would find no others. */
function openPanel(view: EditorView): Panel {
  const dom = document.createElement('div')
  dom.className = 'find'
  const label = document.createElement('label')
  const field = document.createElement('input')
  field.setAttribute('main-field', 'true')
  field.value = getSearchQuery(view.state).search
  field.spellcheck = false
  label.append('find ', field)
  const count = document.createElement('span')
  count.setAttribute('role', 'status')
  const button = (words: string, act: Command): HTMLButtonElement => {
    const made = document.createElement('button')
    made.type = 'button'
    made.textContent = words
    made.onclick = () => act(view)
    return made
  }
  dom.append(
    label,
    count,
    button('Next', findNext),
    button('Previous', findPrevious),
    button('Close', closeSearchPanel),
  )
  const tell = (): void => {
    count.textContent = countWords(view.state)
  }
  field.oninput = () => {
    view.dispatch({ effects: setSearchQuery.of(queryOf(field.value)) })
    selectFirst(view)
  }
  dom.onkeydown = event => {
    const act = KEYS[event.key]?.[event.shiftKey ? 1 : 0]
    if (!act || (event.key === 'Enter' && event.target !== field)) return
    event.preventDefault()
    act(view)
  }
  tell()
  return {
    dom,
    top: true,
    mount: () => field.select(),
    update: update => {
      const query = sought(update)
      if (query && query.search !== field.value) field.value = query.search
      if (query || update.docChanged || update.selectionSet) tell()
    },
  }
}

/** What the keys of the panel do, and with the shift key. */
const KEYS: Readonly<Record<string, readonly [Command, Command]>> = {
  Enter: [findNext, findPrevious],
  F3: [findNext, findPrevious],
  Escape: [closeSearchPanel, closeSearchPanel],
}

/** The query that an update brings. */
function sought({ transactions }: ViewUpdate): ReturnType<typeof queryOf> | undefined {
  return transactions
    .flatMap(({ effects }) => effects)
    .flatMap(effect => (effect.is(setSearchQuery) ? [effect.value] : []))
    .at(-1)
}

function countWords(state: EditorState): string {
  const query = getSearchQuery(state)
  if (!query.valid) return ''
  const { from, to } = state.selection.main
  let [all, here] = [0, 0]
  for (const place of placesFrom(query, state, 0)) {
    all++
    if (place.from === from && place.to === to) here = all
  }
  if (all === 0) return 'nowhere in the sheet'
  return here === 0 ? `${all} in the sheet` : `${here} of ${all}`
}

/** The first from where the cursor is, so that each letter more stays with it where it can. */
function selectFirst(view: EditorView): void {
  const query = getSearchQuery(view.state)
  if (!query.valid) return
  const first = (from: number) => placesFrom(query, view.state, from).next().value ?? null
  const place = first(view.state.selection.main.from) ?? first(0)
  if (place) view.dispatch({ selection: { anchor: place.from, head: place.to }, effects: inSight(place.from) })
}

function inSight(place: number): ReturnType<typeof EditorView.scrollIntoView> {
  return EditorView.scrollIntoView(place, { y: 'center' })
}

/** Where nothing is looked for the key is the browser's. */
const whereOpen =
  (act: Command): Command =>
  view =>
    searchPanelOpen(view.state) && act(view)

/** Finds words in the sheet by the keys that everybody knows for it. */
export const find: Extension = [
  search({ top: true, literal: true, createPanel: openPanel, scrollToMatch: ({ from }) => inSight(from) }),
  EditorState.phrases.of({ 'current match': 'found', 'on line': 'in line' }),
  keymap.of([
    { key: 'Mod-f', run: openSearchPanel, scope: 'editor search-panel', preventDefault: true },
    { key: 'F3', shift: whereOpen(findPrevious), run: whereOpen(findNext) },
    { key: 'Mod-g', shift: whereOpen(findPrevious), run: whereOpen(findNext) },
    { key: 'Escape', run: whereOpen(closeSearchPanel) },
  ]),
]
