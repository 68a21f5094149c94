import { spawnSync } from 'node:child_process'
import { cpSync, readdirSync, readFileSync, rmSync, symlinkSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { describe, expect, inject, test } from 'vitest'
import { compiledFile } from '../../sheets/command/parts.ts'
import { ownFolder } from '../support/folders.ts'

const root = fileURLToPath(new URL('../../', import.meta.url))
const folder = ownFolder('parts')
const parts = readdirSync(inject('built')).filter(name => /\.cjs(\.compiled)?$/.test(name))
for (const name of parts) cpSync(join(inject('built'), name), join(folder, name))
symlinkSync(join(root, 'node_modules'), join(folder, 'node_modules'))

const ahead = parts.filter(name => name.endsWith('.compiled'))
const answer = (): readonly [number | null, string, string] => {
  const words = [join(folder, 'loftsheet.cjs'), 'solve', join(root, 'sheets/examples/heron.loft')]
  const { status, stdout, stderr } = spawnSync(process.execPath, words, { encoding: 'utf8' })
  return [status, stdout.replace(/[\d.]+ m?s$/m, 'so many ms'), stderr]
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
        console.log(new Script(source, { cachedData: readFileSync(file + '.compiled').subarray(16) }).cachedDataRejected)
      }`
    const files = ahead.map(name => join(folder, name.replace('.compiled', '')))
    const { stdout } = spawnSync(process.execPath, ['-e', asked, ...files], { encoding: 'utf8' })
    expect(stdout.trim().split('\n')).toEqual(files.map(() => 'false'))
  })

  test('are compiled anew, to the same answer, where they are damaged, cut short or not there', () => {
    const whole = new Map(ahead.map(name => [name, readFileSync(join(folder, name))]))
    const spoilt = (change: (bytes: Buffer) => Uint8Array): void => {
      for (const [name, bytes] of whole) writeFileSync(join(folder, name), change(Buffer.from(bytes)))
    }
    for (const share of [0.02, 0.3, 0.9]) {
      spoilt(bytes => {
        const at = Math.floor(share * bytes.length)
        return bytes.fill(0x5a, at, at + 64)
      })
      expect(answer()).toEqual(usual)
    }
    spoilt(bytes => bytes.subarray(0, bytes.length >> 1))
    expect(answer()).toEqual(usual)
    spoilt(() => new Uint8Array(0))
    expect(answer()).toEqual(usual)
    for (const name of ahead) rmSync(join(folder, name))
    expect(answer()).toEqual(usual)
    for (const [name, bytes] of whole) writeFileSync(join(folder, name), bytes)
  })

  test('are those of the source as it stands, not of one that was as long', () => {
    const said = parts.find(name => readFileSync(join(folder, name), 'latin1').includes('Solved: every'))!
    const source = readFileSync(join(folder, said), 'latin1')
    writeFileSync(join(folder, said), source.replaceAll('Solved: every', 'Sulved: every'), 'latin1')
    expect(answer()[1]).toBe(usual[1].replace('Solved: every', 'Sulved: every'))
    writeFileSync(join(folder, said), source, 'latin1')
  })

  test('that are not there are told of in plain words, with the status of a fault of our own', () => {
    const command = readFileSync(join(folder, 'command.cjs'))
    rmSync(join(folder, 'command.cjs'))
    const [status, out, messages] = answer()
    writeFileSync(join(folder, 'command.cjs'), command)
    expect([status, out]).toEqual([4, ''])
    expect(messages).toMatch(
      /^The command could not begin: .*command\.cjs.*\nIf its files are not whole, installing it again mends that\.\n$/,
    )
  })
})
