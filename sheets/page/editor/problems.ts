import { type EditorState, type Range, StateEffect, StateField } from '@codemirror/state'
import { Decoration, type DecorationSet, EditorView, ViewPlugin, type ViewUpdate, WidgetType } from '@codemirror/view'
import type { ProblemView } from '../spoken.ts'
import { isDeleted, isTyped } from './typing.ts'

/** So long nobody types before fault is found with what is written [ms]: a line is wrong until it is whole. */
const STILL = 700

/** Room for two lines of a message [px]. */
const MESSAGE = 64

const setProblems = StateEffect.define<readonly ProblemView[]>()

const marks = StateField.define<DecorationSet>({
  create: () => Decoration.none,
  update(before, transaction) {
    let now = before.map(transaction.changes)
    for (const each of transaction.effects) if (each.is(setProblems)) now = decorations(transaction.state, each.value)
    return now
  },
  provide: field => EditorView.decorations.from(field),
})

/** What was told last, and when it is shown. */
class Teller {
  private told: readonly ProblemView[] = []
  /** Whether it is of the text as it stands. */
  private fresh = true
  private due: ReturnType<typeof setTimeout> | undefined

  constructor(private readonly view: EditorView) {}

  update({ docChanged, selectionSet, transactions }: ViewUpdate): void {
    if (docChanged) this.fresh = false
    // Who goes elsewhere has done with what was written; while an update is under way nothing can be shown.
    if (isTyped(transactions) || isDeleted(transactions)) this.wait(STILL)
    else if (selectionSet && this.due !== undefined) this.wait(0)
  }

  destroy(): void {
    clearTimeout(this.due)
  }

  tell(told: readonly ProblemView[]): void {
    this.told = told
    this.fresh = true
    this.show()
  }

  /** Shows what was told. While something is written that was in order so far nothing new is: no more of what is on show than is still so. */
  private show(): void {
    const { state } = this.view
    const here = state.doc.lineAt(state.selection.main.head).number
    const before = onShow(state)
    const known = ({ line, message }: ProblemView): boolean =>
      before.has(`${line} ${message}`) || (line === here && before.has(here))
    const shown = this.due === undefined ? this.told : this.told.filter(known)
    if (shown.length === 0 && state.field(marks).size === 0) return
    this.view.dispatch({ effects: setProblems.of(shown) })
  }

  private wait(time: number): void {
    clearTimeout(this.due)
    this.due = setTimeout(() => {
      this.due = undefined
      if (this.fresh) this.show()
      this.bringUp()
    }, time)
  }

  /** What is told of the line under the hand stands beneath it: at the foot of the window that would be out of sight. */
  private bringUp(): void {
    const { state } = this.view
    const { head } = state.selection.main
    const line = this.view.coordsAtPos(head)
    if (!line || line.bottom < 0 || line.bottom > innerHeight) return
    if (onShow(state).has(state.doc.lineAt(head).number))
      this.view.dispatch({ effects: EditorView.scrollIntoView(head, { yMargin: MESSAGE }) })
  }
}

const teller = ViewPlugin.fromClass(Teller)

/** Problems in their places. */
export const problems = [marks, teller]

export function tellProblems(view: EditorView, told: readonly ProblemView[]): void {
  view.plugin(teller)?.tell(told)
}

/** The lines on which something is marked, and what is said of them. */
function onShow(state: EditorState): ReadonlySet<string | number> {
  const all = new Set<string | number>()
  for (let each = state.field(marks).iter(); each.value; each.next()) {
    const { widget } = each.value.spec as { readonly widget?: unknown }
    const { number } = state.doc.lineAt(each.from)
    if (widget instanceof Message) all.add(number).add(`${number} ${widget.problem.message}`)
  }
  return all
}

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
