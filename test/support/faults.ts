import { readdirSync, readFileSync, writeFileSync } from 'node:fs'
import { expect, test } from 'vitest'
import { renderProblems } from '../../grammar/index.ts'
import type { Problem } from '../../grammar/source.ts'

/**
 * A wrong sheet with the problems it must have, as they are shown. In a file of faults each begins with a line
 * `== TITLE`; the sheet follows, then a line `--`, then the text shown. `\u{…}` in a sheet stands for the character.
 */
interface Fault {
  readonly title: string
  readonly sheet: string
  readonly shown: string
}

const NAME = 'sheet.loft'

/** All wrong sheets of a folder, as the sheets are read. */
export function wrongSheets(folder: URL): readonly { readonly title: string; readonly sheet: string }[] {
  return readdirSync(folder)
    .filter(each => each.endsWith('.txt'))
    .flatMap(file => faultsIn(readFileSync(new URL(file, folder), 'utf8')))
    .map(({ title, sheet }) => ({ title, sheet: unescaped(sheet) }))
}

/**
 * One test for each fault in each `.txt` file of a folder. `problemsOf` reads the sheet. With UPDATE_FAULTS=1 in the
 * environment the files are written anew with what is shown now, to be looked at before they are kept.
 */
export function testFaults(folder: URL, problemsOf: (sheet: string) => readonly Problem[]): void {
  for (const file of readdirSync(folder).filter(each => each.endsWith('.txt'))) {
    const path = new URL(file, folder)
    const faults = faultsIn(readFileSync(path, 'utf8'))
    const shown = (fault: Fault): string => {
      const sheet = unescaped(fault.sheet)
      return `${renderProblems(problemsOf(sheet), sheet, NAME)}\n`
    }
    if (process.env.UPDATE_FAULTS === '1')
      writeFileSync(path, faults.map(each => textOf({ ...each, shown: shown(each) })).join('\n'))
    for (const fault of faultsIn(readFileSync(path, 'utf8'))) {
      test(`${file.replace('.txt', '')}: ${fault.title}`, () => {
        expect(fault.shown).not.toBe('\n')
        expect(shown(fault)).toBe(fault.shown)
      })
    }
  }
}

function faultsIn(text: string): Fault[] {
  return text
    .split(/^== /m)
    .slice(1)
    .map(each => {
      const [title, rest] = cut(each, '\n')
      const [sheet, shown] = cut(rest, /^--\n/m)
      return { title, sheet, shown: `${shown.trimEnd()}\n` }
    })
}

function cut(text: string, at: string | RegExp): [string, string] {
  const found = typeof at === 'string' ? at : (at.exec(text)?.[0] ?? '')
  const index = typeof at === 'string' ? text.indexOf(at) : text.search(at)
  return index < 0 ? [text, ''] : [text.slice(0, index), text.slice(index + found.length)]
}

function textOf({ title, sheet, shown }: Fault): string {
  return `== ${title}\n${sheet}--\n${shown}`
}

function unescaped(sheet: string): string {
  return sheet.replace(/\\u\{([0-9a-f]+)\}/gi, (_, code: string) => String.fromCharCode(Number.parseInt(code, 16)))
}
