import { EditorState } from '@codemirror/state'
import fc from 'fast-check'
import { expect, test } from 'vitest'
import { placesFrom, queryOf } from '../../sheets/page/text/found.ts'

function placesOf(text: string, words: string): readonly number[] {
  const state = EditorState.create({ doc: text })
  return [...placesFrom(queryOf(words), state, 0)].map(({ from }) => from)
}

test('words are found wherever they stand, whatever their case, and nowhere else', () => {
  const letters = fc.constantFrom('a', 'A', 'b', ' ', '\n', 'İ', 'ß', 'מ')
  const texts = fc.array(letters, { maxLength: 40 }).map(all => all.join(''))
  const same = (one: string, other: string): boolean =>
    one.replace(/[A-Z]/g, each => each.toLowerCase()) === other.replace(/[A-Z]/g, each => each.toLowerCase())
  fc.assert(
    fc.property(texts, fc.array(letters, { minLength: 1, maxLength: 3 }), (text, wanted) => {
      const words = wanted.join('')
      const plain: number[] = []
      for (let at = 0; at + words.length <= text.length; at++)
        if (same(text.slice(at, at + words.length), words)) {
          plain.push(at)
          at += words.length - 1
        }
      expect(placesOf(text, words)).toEqual(plain)
    }),
  )
  expect(queryOf('').valid).toBe(false)
})
