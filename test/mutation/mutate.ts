import { spawnSync } from 'node:child_process'
import { existsSync, readdirSync, readFileSync, rmSync, statSync } from 'node:fs'
import { sequence } from '../support/vehicles.ts'
import { testsFor } from './rooms.ts'

// `npm run mutate [path…]`: tries mutants of files or folders, or of some lines (`file.ts:20-60`), one after the other, with the tests of their room alone.
// `npm run mutate -- --sample 8 path…`: only of so many stretches of each, picked evenly over all its lines.

interface Mutant {
  readonly mutatorName: string
  readonly replacement?: string
  readonly status: string
  readonly location: { readonly start: { readonly line: number; readonly column: number } }
}

interface Report {
  readonly files: Readonly<Record<string, { readonly source: string; readonly mutants: readonly Mutant[] }>>
}

const REPORT = 'dist/mutation/report.json'
/** Data, whose tests compare it with published values; and what is made by a tool. */
const DATA = ['!grammar/units/table.ts', '!solver/flight/**/*-data.ts', '!**/*.generated.ts']

/** How many lines a picked stretch has. */
const STRETCH = 16

/** The files of a folder that have mutants to try. Those of another room are left to it. */
function filesOf(folder: string): string[] {
  return readdirSync(folder, { recursive: true, encoding: 'utf8' })
    .map(file => `${folder}/${file}`)
    .filter(file => testsFor(file) === testsFor(folder))
    .filter(file => file.endsWith('.ts') && !/-data\.ts$|\.generated\.ts$|units\/table\.ts$/.test(file))
    .sort()
}

/** So many stretches of some files, always the same ones: each line stands the same chance. */
function sampled(files: readonly string[], count: number): string[] {
  const stretches = files.flatMap(file => {
    const lines = readFileSync(file, 'utf8').split('\n').length
    return Array.from(
      { length: Math.ceil(lines / STRETCH) },
      (_, k) => `${file}:${k * STRETCH + 1}-${Math.min(lines, (k + 1) * STRETCH)}`,
    )
  })
  const next = sequence(stretches.length)
  const ranked = stretches.map(stretch => [next(), stretch] as const).sort(([a], [b]) => a - b)
  return ranked.slice(0, count).map(([, stretch]) => stretch)
}

/** Runs the mutants of a path, all or those of so many stretches; gives what became of each. */
function mutate(path: string, sample: number | null): Report {
  rmSync(REPORT, { force: true })
  const folder = statSync(path.split(':')[0]!).isDirectory()
  const whole = folder ? `${path}/**/*.ts` : path
  // Lines that were named are few enough.
  const pattern =
    sample === null || path.includes(':') ? whole : sampled(folder ? filesOf(path) : [path], sample).join(',')
  const env = { ...process.env, MUTATE_TESTS: testsFor(path).join(';') }
  spawnSync('npx', ['stryker', 'run', '--mutate', [pattern, ...DATA].join(',')], { stdio: 'inherit', env })
  if (!existsSync(REPORT)) throw new Error(`no mutant of ${path} was tried`)
  return JSON.parse(readFileSync(REPORT, 'utf8')) as Report
}

const KILLED = ['Killed', 'Timeout']
const ALIVE = ['Survived', 'NoCoverage']

/** Prints the survivors, then a line a file and the sum. */
function tell(path: string, { files }: Report): void {
  for (const [file, { source, mutants }] of Object.entries(files)) {
    const lines = source.split('\n')
    for (const { status, location, mutatorName, replacement } of mutants) {
      if (!ALIVE.includes(status)) continue
      const { line, column } = location.start
      console.log(
        `${file}:${line}:${column} ${status} ${mutatorName} → ${(replacement ?? '').replace(/\s+/g, ' ').slice(0, 80)}`,
      )
      console.log(`    ${lines[line - 1]!.trim()}`)
    }
  }
  const row = (what: string, mutants: readonly Mutant[]): void => {
    const count = (of: readonly string[]): number => mutants.filter(each => of.includes(each.status)).length
    const [killed, alive] = [count(KILLED), count(ALIVE)]
    const score = killed + alive > 0 ? `${((100 * killed) / (killed + alive)).toFixed(1)} %` : ''
    console.log(`${what.padEnd(36)} ${`${killed} of ${killed + alive}`.padStart(14)} killed ${score.padStart(8)}`)
  }
  for (const [file, { mutants }] of Object.entries(files)) row(file, mutants)
  row(
    path,
    Object.values(files).flatMap(file => file.mutants),
  )
}

const words = process.argv.slice(2)
const at = words.indexOf('--sample')
const sample = at === -1 ? null : Number(words.splice(at, 2)[1])
const paths = words.map(path => path.replace(/\/$/, ''))
for (const path of paths.length > 0 ? paths : ['grammar', 'solver/interval', 'solver/linear', 'solver/model'])
  tell(path, mutate(path, sample))
