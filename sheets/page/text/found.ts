import { SearchQuery } from '@codemirror/search'
import type { EditorState } from '@codemirror/state'

/** What looks for words as they stand, whatever their case. */
export function queryOf(words: string): SearchQuery {
  return new SearchQuery({ search: words, literal: true })
}

/** Where it finds them, from a place on. */
export function* placesFrom(
  query: SearchQuery,
  state: EditorState,
  from: number,
): Generator<{ from: number; to: number }> {
  const cursor = query.getCursor(state, from)
  for (let next = cursor.next(); !next.done; next = cursor.next()) yield next.value
}
