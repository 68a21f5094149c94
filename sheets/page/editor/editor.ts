import { autocompletion, type CompletionContext, type CompletionResult } from '@codemirror/autocomplete'
import { defaultKeymap, indentWithTab } from '@codemirror/commands'
import { Annotation, EditorState, type Range, StateEffect, StateField } from '@codemirror/state'
import {
  Decoration,
  type DecorationSet,
  drawSelection,
  EditorView,
  keymap,
  lineNumbers,
  WidgetType,
} from '@codemirror/view'
import { FIRST_WORDS } from '../../../grammar/words.ts'
import type { AnswerView, ProblemView } from '../spoken.ts'
import { difference } from '../text/edit.ts'
import { dress, loft } from './language.ts'
import { rightToLeft } from './right-to-left.ts'
import { UNITS } from './units.ts'

/** What the editor may do to the page. */
export interface EditorHands {
  readonly write: (text: string) => void
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
const setProblems = StateEffect.define<readonly ProblemView[]>()

const problems = StateField.define<DecorationSet>({
  create: () => Decoration.none,
  update(marks, transaction) {
    let now = marks.map(transaction.changes)
    for (const each of transaction.effects) if (each.is(setProblems)) now = decorations(transaction.state, each.value)
    return now
  },
  provide: field => EditorView.decorations.from(field),
})

function decorations(state: EditorState, told: readonly ProblemView[]): DecorationSet {
  const all: Range<Decoration>[] = []
  for (const problem of told) {
    if (problem.length === 0 || problem.line > state.doc.lines) continue
    const line = state.doc.line(problem.line)
    const from = Math.min(line.to, line.from + problem.column - 1)
    const to = Math.min(line.to, from + problem.length)
    if (to > from) all.push(Decoration.mark({ class: `wave ${problem.severity}` }).range(from, to))
    all.push(Decoration.widget({ widget: new Message(problem, from, to), block: true, side: 1 }).range(line.to))
  }
  return Decoration.set(all, true)
}

/** A problem on a line of its own beneath the words it is about, its mend a button where it says what to write. */
class Message extends WidgetType {
  constructor(
    readonly problem: ProblemView,
    readonly from: number,
    readonly to: number,
  ) {
    super()
  }

  override eq(other: Message): boolean {
    return (
      other.problem.message === this.problem.message &&
      other.problem.mend === this.problem.mend &&
      other.from === this.from &&
      other.to === this.to
    )
  }

  override toDOM(view: EditorView): HTMLElement {
    const { problem } = this
    const box = document.createElement('div')
    box.className = `message ${problem.severity}`
    box.append(problem.message)
    const { edit } = problem
    if (!edit) {
      if (problem.mend !== null) box.append(` ${problem.mend}`)
      return box
    }
    const button = document.createElement('button')
    button.type = 'button'
    button.className = 'foot'
    button.textContent = edit.words
    button.onclick = () => {
      view.dispatch({ changes: { from: edit.at[0], to: edit.at[1], insert: edit.with } })
      view.focus()
    }
    box.append(' ', button)
    return box
  }

  override ignoreEvent(): boolean {
    return true
  }
}

/** Opens the editor in a shadow root, where its styles need no exception from the page's policy. */
export function openEditor(place: HTMLElement, text: string, hands: EditorHands): SheetEditor {
  let names: readonly string[] = []
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
        autocompletion({ override: [context => completions(context, names)], icons: false }),
        keymap.of([
          { key: 'Mod-z', run: () => done(hands.undo), preventDefault: true },
          { key: 'Mod-y', mac: 'Mod-Shift-z', run: () => done(hands.redo), preventDefault: true },
          { key: 'Mod-Shift-z', run: () => done(hands.redo), preventDefault: true },
          // Tab leaves the editor for whoever goes by keys; Escape first would be one key more to know.
          ...defaultKeymap.filter(binding => binding.run !== indentWithTab.run),
        ]),
        EditorView.contentAttributes.of({ 'aria-label': 'text of the sheet', spellcheck: 'false' }),
        EditorView.lineWrapping,
        EditorView.updateListener.of(update => {
          const typed = update.transactions.some(each => each.docChanged && !each.annotation(outside))
          if (typed) hands.write(update.state.doc.toString())
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
        })
    },
    mark: answer => {
      names = answer.outline.names
      if (answer.problems.length === 0 && view.state.field(problems).size === 0) return
      view.dispatch({ effects: setProblems.of(answer.problems) })
    },
    close: () => view.destroy(),
  }
}

function done(act: () => void): true {
  act()
  return true
}

/** First words at the head of a line, units behind a number, else names of the sheet. */
function completions(context: CompletionContext, names: readonly string[]): CompletionResult | null {
  const line = context.state.doc.lineAt(context.pos)
  const before = line.text.slice(0, context.pos - line.from)
  if (before.includes('#')) return null
  const unit = /\d ([\p{L}%°/^0-9]*)$/u.exec(before)
  if (unit) return { from: context.pos - unit[1]!.length, options: UNITS.map(label => ({ label, type: 'unit' })) }
  const word = /[\p{L}][\p{L}\p{N}]*$/u.exec(before)
  if (!word && !context.explicit) return null
  const from = context.pos - (word?.[0].length ?? 0)
  const first = /^\s*[\p{L}]*$/u.test(before)
  const labels = first ? FIRST_WORDS : [...new Set(names)]
  return { from, options: labels.map(label => ({ label })), validFor: /^[\p{L}\p{N} ]*$/u }
}

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
.cm-tooltip-autocomplete li[aria-selected] { background: var(--ink) !important; color: var(--ground) !important }
`
