import { Prec } from '@codemirror/state'
import {
  Decoration,
  type DecorationSet,
  Direction,
  EditorView,
  MatchDecorator,
  ViewPlugin,
  type ViewUpdate,
} from '@codemirror/view'
import { RIGHT_TO_LEFT } from '../text/right-to-left.ts'

const matches = new MatchDecorator({
  regexp: RIGHT_TO_LEFT,
  decoration: Decoration.mark({ class: 'apart', bidiIsolate: Direction.RTL }),
})

class Stretches {
  decorations: DecorationSet

  constructor(view: EditorView) {
    this.decorations = matches.createDeco(view)
  }

  update(update: ViewUpdate): void {
    this.decorations = matches.updateDeco(update, this.decorations)
  }
}

/** Names and comments from right to left stand apart in their line: a statement keeps its order, whatever its names are written in. */
export const rightToLeft = ViewPlugin.fromClass(Stretches, {
  provide: plugin => {
    const stretches = (view: EditorView): DecorationSet => view.plugin(plugin)?.decorations ?? Decoration.none
    // About the marks of the language, which begin and end inside.
    return Prec.lowest([EditorView.decorations.of(stretches), EditorView.bidiIsolatedRanges.of(stretches)])
  },
})
