import { execFileSync } from 'node:child_process'
import { existsSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { ownFolder } from '../support/folders.ts'
import { type Probe, row, timed, turns } from './rounds.ts'

const COMMAND = 'dist/loftsheet.cjs'

/** The command as it is built: a cold start to an answer, and many variants. */
export function command(heron: string): readonly Probe[] {
  if (!existsSync(COMMAND))
    return [{ look: () => ({}), rows: () => [{ what: 'the command', figure: 'npm run build first' }] }]
  return [coldStart(), manyVariants(heron)]
}

function coldStart(): Probe {
  const works = {
    solve: () => run([COMMAND, 'solve', 'sheets/examples/heron.loft']),
    node: () => run(['-e', '0']),
  }
  turns(works, 1)
  return {
    look: () => turns(works, 2),
    rows: times => [
      row('command line, cold start to answer', times.solve!, 0, 'ms', ['at most', 350]),
      row('… over Node’s own start', times.solve! / times.node!, 2, '×'),
    ],
  }
}

/** 12,000 variants over two workers. */
function manyVariants(heron: string): Probe {
  const folder = ownFolder('bench')
  const sheet = join(folder, 'family.loft')
  writeFileSync(
    sheet,
    `${heron}
variants
  each dry mass from 140 kg to 179 kg in steps of 1 kg
  each drag coefficient from 0.3 to 0.595 in steps of 0.005
  each peak g over 5.5 g0, 6 g0, 6.5 g0, 7 g0, 8 g0
`,
  )
  const words = ['variants', sheet, '--workers', '2', '--quiet', '--out', join(folder, 'family.csv')]
  return {
    look: () => ({ all: timed(() => run([COMMAND, ...words])) }),
    looks: 3,
    rows: times => [
      row('12,000 Heron variants, two workers, start and all', 12_000_000 / times.all!, 0, 'a second', [
        'at least',
        1000,
      ]),
    ],
  }
}

function run(words: readonly string[]): void {
  execFileSync(process.execPath, words, { stdio: 'ignore' })
}
