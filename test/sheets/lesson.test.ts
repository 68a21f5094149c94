import { readFileSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { expect, test } from 'vitest'
import { run } from '../../sheets/command/program.ts'
import { openSheet } from '../../sheets/index.ts'
import { folderWith } from '../command/stand-in.ts'

const readme = readFileSync('README.md', 'utf8')
const lesson = readme.slice(readme.indexOf('## A lesson'), readme.indexOf('## A sheet'))
const blocks = [...lesson.matchAll(/```(\w*)\n([\s\S]*?)```/g)].map(([, kind, text]) => ({ kind: kind!, text: text! }))

/** A line taken out, a line put in behind the one that stays. */
function changed(sheet: string, change: string): string {
  const lines = change.trimEnd().split('\n')
  const old = lines.filter(line => line[0] !== '+').map(line => line.slice(1))
  const fresh = lines.filter(line => line[0] !== '-').map(line => line.slice(1))
  expect(sheet).toContain(`${old.join('\n')}\n`)
  return sheet.replace(old.join('\n'), fresh.join('\n'))
}

async function command(words: readonly string[], folder: string): Promise<string> {
  let out = ''
  const outlet = (keep: boolean) => {
    const write = (text: string): void => {
      if (keep) out += text
    }
    return { write, send: async (text: string) => write(text), terminal: false, columns: undefined }
  }
  await run(words, {
    out: outlet(true),
    messages: outlet(false),
    environment: { LANG: 'en_GB.UTF-8' },
    folder,
    input: async () => new Uint8Array(),
    library: async () => ({ openSheet }),
  })
  return out
}

test('the lesson in the README can be followed: each change fits, and each command answers as shown', async () => {
  const folder = folderWith({})
  let [sheet, commands, changes] = ['', 0, 0]
  for (const { kind, text } of blocks) {
    if (text.startsWith('sheet "')) sheet = text
    else if (kind === 'diff') {
      sheet = changed(sheet, text)
      changes++
    } else {
      const [asked, ...shown] = text.trimEnd().split('\n')
      const words = [...asked!.replace('$ loftsheet ', '').matchAll(/"([^"]*)"|(\S+)/g)].map(it => it[1] ?? it[2]!)
      writeFileSync(join(folder, 'lark.loft'), sheet)
      const told = shown.slice(1, -1).join('\n')
      expect([shown[0], shown.at(-1)]).toEqual(['…', '…'])
      expect(await command(words, folder), asked).toContain(told)
      commands++
    }
  }
  expect([commands, changes]).toEqual([6, 4])
})

test('every line of the table of the language that is a statement can be read', () => {
  const table = readme.slice(readme.indexOf('## The language in one table'), readme.indexOf('## The command'))
  const shown = [...table.matchAll(/^\| (`[^|]*?) \|/gm)].flatMap(row => [...row[1]!.matchAll(/`([^`]+)`/g)])
  const statements = shown.map(it => it[1]!).filter(text => !text.includes('…'))
  const heron = readFileSync('sheets/examples/heron.loft', 'utf8')
  const lines = heron
    .split('\n')
    .filter(line => !/^(sheet|flight|aim|fact +dry mass|must +peak g|lever +throttle)/.test(line))
  const blocks: Readonly<Record<string, string>> = {
    'flight hop from Earth': '',
    'table stack drag of mach': '\n  0 0.4\n  0.8 0.45\n  2 0.5',
    variants: '\n  each dry mass over 150 kg, 165 kg',
  }
  const whole = statements.filter(text => /^(sheet|fact|lever|must|aim|show|flight|table|variants)\b/.test(text))
  const written = whole.map(text => text + (blocks[text] ?? '')).filter(text => !text.startsWith('figure'))
  const { problems } = openSheet(`${lines.join('\n')}\n${written.join('\n')}\n`)
  expect(problems.filter(problem => problem.severity === 'error')).toEqual([])
  expect(whole.length).toBeGreaterThan(9)
})
