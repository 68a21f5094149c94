import { spawnSync } from 'node:child_process'
import { cpSync, mkdtempSync, readdirSync, readFileSync, rmSync, symlinkSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { afterAll, describe, expect, inject, test } from 'vitest'
import { compiledFile } from '../../sheets/command/parts.ts'

const root = fileURLToPath(new URL('../../', import.meta.url))
const folder = mkdtempSync(join(tmpdir(), 'loftsheet-parts-'))
const parts = readdirSync(inject('built')).filter(name => /\.cjs(\.compiled)?$/.test(name))
for (const name of parts) cpSync(join(inject('built'), name), join(folder, name))
symlinkSync(join(root, 'node_modules'), join(folder, 'node_modules'))
afterAll(() => rmSync(folder, { recursive: true }))

const ahead = parts.filter(name => name.endsWith('.compiled'))
const answer = (): readonly [number | null, string, string] => {
  const words = [join(folder, 'loftsheet.cjs'), 'solve', join(root, 'sheets/examples/heron.loft')]
  const { status, stdout, stderr } = spawnSync(process.execPath, words, { encoding: 'utf8' })
  return [status, stdout.replace(/\d+ ms/, 'so many ms'), stderr]
}

describe('the parts of the command, compiled when it was built,', () => {
  const usual = answer()

  test('give the answer', () => {
    expect(usual[0]).toBe(0)
    expect(usual[1]).toContain('fuel fraction   92 %')
    expect(usual[2]).toBe('')
  })

  test('are those that the engine takes as they are', () => {
    expect(ahead).toContain(compiledFile('command.cjs'))
    const asked = `
      const { readFileSync } = require('node:fs')
      const { Script } = require('node:vm')
      for (const file of process.argv.slice(1)) {
        const source = '(function(require,module,exports,__filename,__dirname){' + readFileSync(file, 'latin1') + '\\n})'
        console.log(new Script(source, { cachedData: readFileSync(file + '.compiled') }).cachedDataRejected)
      }`
    const files = ahead.map(name => join(folder, name.replace('.compiled', '')))
    const { stdout } = spawnSync(process.execPath, ['-e', asked, ...files], { encoding: 'utf8' })
    expect(stdout.trim().split('\n')).toEqual(files.map(() => 'false'))
  })

  test('are compiled anew, to the same answer, where they are damaged, of another engine or not there', () => {
    for (const name of ahead) {
      const bytes = readFileSync(join(folder, name))
      // The engine's own mark of its version stands at the head.
      bytes.fill(0x5a, 4, 8)
      writeFileSync(join(folder, name), bytes)
    }
    expect(answer()).toEqual(usual)
    for (const name of ahead) writeFileSync(join(folder, name), '')
    expect(answer()).toEqual(usual)
    for (const name of ahead) rmSync(join(folder, name))
    expect(answer()).toEqual(usual)
  })
})
