import {
  acceptCompletion,
  autocompletion,
  type CompletionContext,
  type CompletionResult,
} from '@codemirror/autocomplete'
import { defaultKeymap, indentWithTab } from '@codemirror/commands'
import { indentService } from '@codemirror/language'
import { Annotation, EditorState } from '@codemirror/state'
import { drawSelection, EditorView, keymap, lineNumbers, type ViewUpdate } from '@codemirror/view'
import { FIGURES } from '../../open/figures.ts'
import type { AnswerView } from '../spoken.ts'
import { difference } from '../text/edit.ts'
import { offered } from './completion.ts'
import { find } from './find.ts'
import { dress, loft } from './language.ts'
import { problems, tellProblems } from './problems.ts'
import { rightToLeft } from './right-to-left.ts'
import { isDeleted, isTyped } from './typing.ts'

/** What the editor may do to the page. */
export interface EditorHands {
  /** `tag`: changes with the same one are one step of undo while they follow one another; null: a step by itself. */
  readonly write: (text: string, tag: string | null) => void
  readonly undo: () => void
  readonly redo: () => void
}

export interface SheetEditor {
  /** Another text, put in by the smallest change, so that the cursor stays. */
  readonly show: (text: string) => void
  /** Problems in their places, and names to complete. */
  readonly mark: (answer: AnswerView) => void
  readonly close: () => void
}

/** A change that came from outside, not from the keys. */
const outside = Annotation.define<boolean>()

/** Opens the editor in a shadow root, where its styles need no exception from the page's policy. */
export function openEditor(place: HTMLElement, text: string, hands: EditorHands): SheetEditor {
  let names: readonly string[] = []
  let byUndo = false
  // What is undone by a key is shown, wherever it stands.
  const inSight = (act: () => void): true => {
    byUndo = true
    act()
    byUndo = false
    return true
  }
  const root = place.shadowRoot ?? place.attachShadow({ mode: 'open' })
  const inside = document.createElement('div')
  const style = new CSSStyleSheet()
  style.replaceSync(STYLE)
  root.adoptedStyleSheets = [style]
  root.replaceChildren(inside)
  const view = new EditorView({
    root,
    parent: inside,
    state: EditorState.create({
      doc: text,
      extensions: [
        lineNumbers(),
        drawSelection(),
        loft,
        dress,
        rightToLeft,
        problems,
        find,
        indents,
        autocompletion({ override: [context => completions(context, names)], icons: false }),
        keymap.of([
          { key: 'Mod-z', run: () => inSight(hands.undo), preventDefault: true },
          { key: 'Mod-y', mac: 'Mod-Shift-z', run: () => inSight(hands.redo), preventDefault: true },
          { key: 'Mod-Shift-z', run: () => inSight(hands.redo), preventDefault: true },
          // Where no word is offered Tab leaves the editor for whoever goes by keys; Escape first would be one key more to know.
          { key: 'Tab', run: acceptCompletion },
          ...defaultKeymap.filter(binding => binding.run !== indentWithTab.run),
        ]),
        EditorView.contentAttributes.of({ 'aria-label': 'text of the sheet', spellcheck: 'false' }),
        EditorView.lineWrapping,
        EditorView.updateListener.of(update => {
          const typed = update.transactions.some(each => each.docChanged && !each.annotation(outside))
          if (typed) hands.write(update.state.doc.toString(), tagOf(update))
        }),
      ],
    }),
  })
  return {
    show: next => {
      const edit = difference(view.state.doc.toString(), next)
      if (edit)
        view.dispatch({
          changes: { from: edit.at[0], to: edit.at[1], insert: edit.with },
          annotations: outside.of(true),
          ...(byUndo ? { selection: { anchor: edit.at[0] + edit.with.length }, scrollIntoView: true } : {}),
        })
    },
    mark: answer => {
      names = answer.outline.names
      tellProblems(view, answer.problems)
    },
    close: () => view.destroy(),
  }
}

function completions({ state, pos, explicit }: CompletionContext, names: readonly string[]): CompletionResult | null {
  const { from, number } = state.doc.lineAt(pos)
  const above = Array.from({ length: number - 1 }, (_, k) => state.doc.line(k + 1).text)
  const offer = offered({ line: state.sliceDoc(from, pos), above, names, asked: explicit })
  if (!offer) return null
  const options = offer.words.map(label => ({ label, detail: MEANINGS.get(label) ?? '' }))
  // In their own order, and asked for anew at each letter: a word that is whole ends the list.
  return { from: pos - offer.letters, options, filter: false }
}

/** Whether a line has a block of its own under it. */
const HEAD = /^\s*(?:stage|parachute|body|variants(?! +from)|table(?!.* from "))(?:\s|$)/

/** A line under a head stands deeper than it, one behind an empty line without blanks in front, any other as deep as the one before it. */
const indents = indentService.of((context, at) => {
  const { text } = context.lineAt(at, -1)
  if (text.trim() === '') return 0
  const deep = /^\s*/.exec(text)![0].length
  return HEAD.test(text) ? deep + 2 : deep
})

/** What a change is one step of undo with: what is typed into one line, or deleted there; null where it is a step by itself. */
function tagOf({ state, transactions }: ViewUpdate): string | null {
  const line = state.doc.lineAt(state.selection.main.head).number
  if (isTyped(transactions)) return `typing in line ${line}`
  return isDeleted(transactions) ? `deleting in line ${line}` : null
}

/** What the figures of a flight are, beside their names. */
const MEANINGS = new Map(FIGURES.map(({ name, meaning }) => [name, meaning]))

const STYLE = `
:host { display: block }
.cm-editor { color: var(--ink); background: transparent; font: 15px/1.5 ui-monospace, "Cascadia Mono", "SF Mono", "Liberation Mono", monospace }
.cm-editor.cm-focused { outline: 3px solid var(--ink); outline-offset: 2px }
.cm-scroller { font-family: inherit !important; overflow: auto }
.cm-gutters { background: transparent !important; color: var(--pencil) !important; border: 0 !important }
.cm-cursor { border-left-color: var(--ink) !important; border-left-width: 2px !important }
.cm-selectionBackground { background: var(--wash) !important }
.apart { unicode-bidi: isolate; direction: rtl }
.wave { text-decoration: underline wavy var(--short); text-underline-offset: 3px; text-decoration-skip-ink: none }
.wave.warning { text-decoration-color: var(--limit) }
.message { font: 16px/1.4 Charter, "Bitstream Charter", Cambria, "Liberation Serif", serif; color: var(--short); padding: 2px 8px 6px 24px; white-space: pre-wrap }
.message.warning { color: var(--limit) }
.message button { font: inherit; color: var(--ink); background: none; border: 0; border-bottom: 2px solid var(--rule); padding: 2px 4px; min-height: 24px; cursor: pointer }
.message button:focus-visible { outline: 3px solid var(--ink); outline-offset: 2px }
.cm-tooltip { background: var(--field) !important; border: 1px solid var(--ink) !important; color: var(--ink) }
.cm-tooltip-autocomplete li { padding: 4px 8px !important; font: 15px ui-monospace, "Liberation Mono", monospace }
.cm-completionDetail { font: italic 15px Charter, "Bitstream Charter", Cambria, "Liberation Serif", serif }
.cm-panels { background: var(--ground) !important; color: var(--ink) !important; border: 0 !important; position: sticky; top: 0; z-index: 2 }
.find { display: flex; flex-wrap: wrap; gap: 4px 16px; align-items: baseline; padding: 8px 0; font: 16px/1.4 "Bahnschrift SemiCondensed", "Avenir Next Condensed", "Roboto Condensed", "Liberation Sans Narrow", "Arial Narrow", sans-serif; border-bottom: 1px solid var(--ink) }
.find input { font: inherit; color: var(--ink); background: var(--field); border: 0; border-bottom: 2px solid var(--rule); padding: 4px 8px; margin-left: 8px }
.find button { font: inherit; color: var(--ink); background: none; border: 0; border-bottom: 2px solid var(--rule); padding: 2px 4px; min-height: 28px; cursor: pointer }
.find :focus-visible { outline: 3px solid var(--ink); outline-offset: 2px }
.cm-searchMatch { background: none !important; outline: 1px solid var(--rule) }
.cm-searchMatch-selected { outline: 2px solid var(--ink) }
.cm-tooltip-autocomplete li[aria-selected] { background: var(--ink) !important; color: var(--ground) !important }
`
