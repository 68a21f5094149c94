import { readFileSync } from 'node:fs'
import { describe, expect, test } from 'vitest'

interface Manifest {
  readonly version?: string
  readonly license?: string
  readonly dependencies?: Readonly<Record<string, string>>
  readonly devDependencies?: Readonly<Record<string, string>>
}

interface Locked {
  readonly license?: string
  readonly hasInstallScript?: boolean
}

const read = (path: string): unknown => JSON.parse(readFileSync(path, 'utf8'))
const { dependencies = {}, devDependencies = {} } = read('package.json') as Manifest
const { packages } = read('package-lock.json') as { readonly packages: Readonly<Record<string, Locked>> }
const installed = Object.entries(packages).filter(([path]) => path !== '')

/** SPDX names of licences that let anyone use, change and pass on what stands under them; of several, one that is here is enough. */
const OPEN = [
  ...['MIT', 'ISC', '0BSD', 'BSD-2-Clause', 'BSD-3-Clause', 'Apache-2.0', 'MPL-2.0', 'BSL-1.0', 'Unlicense', 'CC0-1.0'],
  ...['Python-2.0', 'BlueOak-1.0.0', 'CC-BY-4.0', 'CC-BY-3.0', 'MIT-0', 'Zlib'],
]

describe('what the program is built from', () => {
  test('nothing runs a script when it is installed', () => {
    expect(installed.length).toBeGreaterThan(100)
    expect(installed.filter(([, { hasInstallScript }]) => hasInstallScript).map(([path]) => path)).toEqual([])
  })
  test('everything stands under an open licence', () => {
    const isOpen = (license: string): boolean =>
      license
        .replace(/[()]/g, '')
        .split(' OR ')
        .some(all => all.split(' AND ').every(each => OPEN.includes(each)))
    expect(['MIT AND GPL-3.0-only', '(MIT OR GPL-3.0-only)', 'none'].map(isOpen)).toEqual([false, true, false])
    const closed = installed.filter(([, { license = 'none' }]) => !isOpen(license))
    expect(closed.map(([path, { license }]) => `${path}: ${license}`)).toEqual([])
  })
  test('versions are exact, and the list in DEVELOPERS.md is of them', () => {
    const list = readFileSync('DEVELOPERS.md', 'utf8')
    const rows = [...list.matchAll(/^\| (\S+)(?: \(\S+\))? \| (\d\S+) \| (.+) \| (runs|builds and tests) \|$/gm)]
    const told = rows.map(([, name, version, license, use]) => [name, version, license, use].join(' '))
    const direct = (of: Readonly<Record<string, string>>, use: string): string[] =>
      Object.keys(of).map(name => {
        const { version, license } = read(`node_modules/${name}/package.json`) as Manifest
        expect(of[name]!.replace(/^npm:.*@/, '')).toBe(version)
        return [name, version, license, use].join(' ')
      })
    expect(told.sort()).toEqual(
      [...direct(dependencies, 'runs'), ...direct(devDependencies, 'builds and tests')].sort(),
    )
  })
})
