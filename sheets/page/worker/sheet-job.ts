import type { Answer } from '../../answer.ts'
import { keyOf } from '../files-beside.ts'
import type { Said, SheetAsking } from '../spoken.ts'
import { answerView } from './answer-view.ts'
import { type Desk, fileOf, opened } from './desk.ts'

/** The answer to a sheet, before all else; gives it where there is anything to draw of it. */
export function* answerSheet(
  desk: Desk,
  asking: SheetAsking,
  watch: (flights: number) => boolean = () => true,
): Generator<Said, Answer | null> {
  const { text, set } = asking
  const sheet = opened(desk, text)
  const answer = sheet.solve({ set, watch })
  const outline = desk.outline ?? sheet.outline()
  desk.outline = outline
  const how = { load: (path: string) => fileOf(desk.files, path) }
  const files = [...desk.named].map(name => ({ name, here: keyOf(desk.files, name) !== null }))
  yield { kind: 'answer', view: { ...answerView(answer, sheet, outline, asking, how), files } }
  return answer.outcome === 'faulty' ? null : answer
}
