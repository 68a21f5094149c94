import { spawnSync } from 'node:child_process'
import { existsSync, rmSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import process from 'node:process'
import { ownFolder } from '../support/folders.ts'

/**
 * `npm run bench:variants [-- --million]`: variants of a sheet of algebra by the command as it is built, over two workers.
 * Peak memory is the whole process's, as the operating system keeps it (GNU time's "maximum resident set size").
 */
const COUNTS = [10, 1000, 10_000, 100_000, ...(process.argv.includes('--million') ? [1_000_000] : [])]

/** `many` variants: ten values of one fact, or a thousand, by as many as it takes of the other. */
function sheetOf(many: number): string {
  const fine = Math.min(1000, many)
  return `sheet "Ballast, by algebra"
fact wall mass = 20 kg
fact ullage = 3 %
lever fill from 50 % to 100 % in steps of 10 %
figure load = fill * (1 - ullage) * 40 kg
figure share = load / (load + wall mass)
must load at least 10 kg
should share at most 60 %
aim least load
variants
  each wall mass ${many === fine ? 'over 10 kg' : `from 10.01 kg to ${10 + many / fine / 100} kg in steps of 0.01 kg`}
  each ullage from 0.1 % to ${fine / 10} % in steps of 0.1 %
`
}

if (!existsSync('dist/loftsheet.cjs') || !existsSync('/usr/bin/time')) {
  console.log('needs dist/ (npm run build) and GNU time')
  process.exit(1)
}
const folder = ownFolder('bench')
console.log(`${'variants'.padStart(10)}${'seconds'.padStart(10)}${'a second'.padStart(10)}${'peak MB'.padStart(10)}`)
for (const many of COUNTS) {
  const sheet = join(folder, 'ballast.loft')
  writeFileSync(sheet, sheetOf(many))
  const out = join(folder, `${many}.csv`)
  const words = ['dist/loftsheet.cjs', 'variants', sheet, '--workers', '2', '--quiet', '--out', out]
  const { stderr } = spawnSync('/usr/bin/time', ['-f', '%e %M', process.execPath, ...words], { encoding: 'utf8' })
  const [seconds, kilobytes] = stderr.trim().split('\n').at(-1)!.split(' ').map(Number) as [number, number]
  const cells = [
    many.toLocaleString('en'),
    seconds.toFixed(1),
    (many / seconds).toFixed(0),
    (kilobytes / 1024).toFixed(0),
  ]
  console.log(cells.map(cell => cell.padStart(10)).join(''))
  rmSync(out)
}
