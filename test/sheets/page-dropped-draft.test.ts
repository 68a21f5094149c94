import { readFileSync } from 'node:fs'
import { beforeEach, expect, test } from 'vitest'
import { spoken } from '../../sheets/page/state/aloud.ts'
import { opened } from '../../sheets/page/state/draft.ts'
import { drop, droppedWords, takeBack } from '../../sheets/page/state/dropped-draft.ts'
import * as store from '../../sheets/page/state/store.ts'

const heron = readFileSync('sheets/examples/heron.loft', 'utf8')
const names = (): readonly string[] => store.drafts.value.map(({ name }) => name)

const anew = (): void => {
  store.begin(opened(heron), 'heron.loft')
  store.drafts.value = ['one', 'two', 'three'].map(name => ({ name, ...opened(`${heron}# ${name}\n`) }))
}
beforeEach(anew)

test('a draft that was dropped is taken back to its place, once, and both are said', () => {
  for (const [place, name] of ['one', 'two', 'three'].entries()) {
    const before = store.drafts.value
    drop(place)
    expect(names()).not.toContain(name)
    expect(droppedWords.value).toBe(`${name} is dropped.`)
    expect(spoken.value).toBe(`${name} is dropped. It can be taken back.`)
    takeBack()
    expect(store.drafts.value).toEqual(before)
    expect(spoken.value).toBe(`${name} is back among the drafts.`)
    expect(droppedWords.value).toBeNull()
    takeBack()
    expect(store.drafts.value).toEqual(before)
  }
})

test('it is offered until the next change: of the sheet, or of the drafts', () => {
  const changes: readonly (() => void)[] = [
    () => store.changeText(`${heron}#\n`),
    () => store.pin('throttle cap', 0.6),
    () => store.keepDraft('four'),
    () => drop(0),
    () => store.begin(opened('fact a = 1\n'), 'a.loft'),
  ]
  for (const change of changes) {
    anew()
    drop(1)
    const lost = droppedWords.value
    change()
    expect(droppedWords.value).not.toBe(lost)
  }
})
