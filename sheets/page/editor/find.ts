import { EditorSelection, type EditorState, type Extension, StateEffect, StateField } from '@codemirror/state'
import {
  type Command,
  Decoration,
  type DecorationSet,
  EditorView,
  keymap,
  type Panel,
  showPanel,
  ViewPlugin,
  type ViewUpdate,
} from '@codemirror/view'
import { placesOf } from '../text/found.ts'

const setSought = StateEffect.define<string | null>()

/** What is looked for; null while nothing is. */
const sought = StateField.define<string | null>({
  create: () => null,
  update: (before, transaction) =>
    transaction.effects.reduce<string | null>((now, each) => (each.is(setSought) ? each.value : now), before),
  provide: field => showPanel.from(field, words => (words === null ? null : openPanel)),
})

function found(state: EditorState): readonly number[] {
  return placesOf(state.doc.toString(), state.field(sought) ?? '')
}

/** Only the lines near the window are in the page, so that the browser's own search would find no others. */
function openPanel(view: EditorView): Panel {
  const dom = document.createElement('div')
  dom.className = 'find'
  const label = document.createElement('label')
  const field = document.createElement('input')
  field.value = view.state.field(sought) ?? ''
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
  dom.append(label, count, button('Next', next), button('Previous', previous), button('Close', close))
  const tell = (): void => {
    count.textContent = countWords(view.state)
  }
  field.oninput = () => {
    view.dispatch({ effects: setSought.of(field.value) })
    // The first from where the cursor is, so that each letter more stays with it where it can.
    select(view, places => places.find(at => at >= view.state.selection.main.from) ?? places[0])
    tell()
  }
  dom.onkeydown = event => {
    const act = { Enter: event.shiftKey ? previous : next, F3: event.shiftKey ? previous : next, Escape: close }[
      event.key
    ]
    if (!act || (event.key === 'Enter' && event.target !== field)) return
    event.preventDefault()
    act(view)
    tell()
  }
  tell()
  return {
    dom,
    top: true,
    mount: () => field.select(),
    update: ({ docChanged, selectionSet }) => {
      if (docChanged || selectionSet) tell()
    },
  }
}

function countWords(state: EditorState): string {
  const words = state.field(sought) ?? ''
  if (words === '') return ''
  const places = found(state)
  const { from, to } = state.selection.main
  const here = to - from === words.length ? places.indexOf(from) : -1
  if (places.length === 0) return 'nowhere in the sheet'
  return here === -1 ? `${places.length} in the sheet` : `${here + 1} of ${places.length}`
}

function select(view: EditorView, which: (places: readonly number[]) => number | undefined): boolean {
  // Nothing is looked for here: the key is the browser's.
  if (view.state.field(sought) === null) return false
  const at = which(found(view.state))
  if (at === undefined) return true
  const range = EditorSelection.range(at, at + view.state.field(sought)!.length)
  view.dispatch({ selection: range, effects: EditorView.scrollIntoView(range, { y: 'center' }) })
  return true
}

const next: Command = view =>
  select(view, places => places.find(at => at > view.state.selection.main.from) ?? places[0])
const previous: Command = view =>
  select(view, places => places.findLast(at => at < view.state.selection.main.from) ?? places.at(-1))

const open: Command = view => {
  const { from, to } = view.state.selection.main
  const chosen = view.state.sliceDoc(from, to)
  const words = chosen !== '' && !chosen.includes('\n') ? chosen : (view.state.field(sought) ?? '')
  view.dispatch({ effects: setSought.of(words) })
  const field = view.dom.querySelector<HTMLInputElement>('.find input')
  if (field) {
    field.value = words
    field.select()
  }
  return true
}

const close: Command = view => {
  if (view.state.field(sought) === null) return false
  view.dispatch({ effects: setSought.of(null) })
  view.focus()
  return true
}

const mark = Decoration.mark({ class: 'found' })

/** All places in sight are marked. */
const shown = ViewPlugin.fromClass(
  class {
    marks: DecorationSet

    constructor(view: EditorView) {
      this.marks = marksOf(view)
    }

    update(update: ViewUpdate): void {
      if (update.docChanged || update.viewportChanged || update.startState.field(sought) !== update.state.field(sought))
        this.marks = marksOf(update.view)
    }
  },
  { decorations: plugin => plugin.marks },
)

function marksOf({ state, viewport }: EditorView): DecorationSet {
  const words = state.field(sought) ?? ''
  const places = placesOf(state.sliceDoc(viewport.from, viewport.to), words)
  return Decoration.set(places.map(at => mark.range(viewport.from + at, viewport.from + at + words.length)))
}

/** Finds words in the sheet by the keys that everybody knows for it. */
export const find: Extension = [
  sought,
  shown,
  keymap.of([
    { key: 'Mod-f', run: open, preventDefault: true },
    { key: 'F3', shift: previous, run: next },
    { key: 'Mod-g', shift: previous, run: next },
    { key: 'Escape', run: close },
  ]),
]
