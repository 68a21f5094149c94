import { readdirSync, readFileSync } from 'node:fs'
import { join } from 'node:path'

/** What an input is fed to. */
export type Kind = 'lines' | 'sheet' | 'table' | 'variants' | 'setting' | 'link'
export interface Input {
  readonly kind: Kind
  /** How far it is taken: a thousand are read in the time in which one is solved. */
  readonly depth: 'read' | 'checked' | 'solved'
  readonly text: string
  /** The sheet that a table or a setting goes with. */
  readonly sheet: string
}

/** Numbers from a seed, the same on every machine: mulberry32 (public domain, from memory). */
export function random(seed: number): () => number {
  let state = seed >>> 0
  return () => {
    state = (state + 0x6d2b79f5) >>> 0
    let mixed = Math.imul(state ^ (state >>> 15), 1 | state)
    mixed = (mixed + Math.imul(mixed ^ (mixed >>> 7), 61 | mixed)) ^ mixed
    return ((mixed ^ (mixed >>> 14)) >>> 0) / 4294967296
  }
}

function textsIn(folder: string): readonly string[] {
  return readdirSync(folder, { recursive: true, encoding: 'utf8' })
    .filter(name => /\.(loft|txt)$/.test(name))
    .flatMap(name =>
      readFileSync(join(folder, name), 'utf8')
        .split(/^(?:==.*|--)$/m)
        .filter(text => !/^\S+:\d+:\d+: /m.test(text) && text.trim() !== ''),
    )
}

const SHEETS = [
  ...textsIn('sheets/examples'),
  ...textsIn('test/sheets/conflicts'),
  ...textsIn('test/language/faults'),
  ...textsIn('test/sheets/faults'),
]

const LINES = SHEETS.flatMap(text => text.split('\n')).filter(line => line.trim() !== '')

/** Bits that have broken readers of text before. Common practice, no source. */
const BITS = [
  '__proto__',
  'constructor',
  'toString',
  'hasOwnProperty',
  '\ufeff',
  '\r\n',
  '\r',
  '\u2028',
  '\u202e',
  '\ud800',
  '\udc00',
  '\0',
  '\u00a0',
  '\t',
  '1e400',
  '-1e400',
  '1e-400',
  '0/0',
  '1/0',
  'NaN',
  'Infinity',
  '0 kg',
  '-5 kg',
  '1e308',
  '9007199254740993',
  '0.1',
  '1 m^60',
  'kg^60',
  '1 m^(1/3)',
  '"',
  "'",
  '`',
  '\\',
  '#',
  '=',
  '±',
  '+/-',
  '%',
  '^',
  '(',
  ')',
  '((((((((((',
  '))))))))))',
  ',',
  'if',
  'then',
  'else',
  'of',
  'to',
  'in steps of',
  'must',
  'should',
  'could',
  'aim',
  'aim roomiest',
  'fact',
  'lever',
  'figure',
  'flight',
  'stage',
  'parachute',
  'table',
  'body',
  'variants',
  'each',
  'apoapsis',
  'peak g',
  'max q',
  'touchdown speed',
  'crew margin',
  'drag coefficient',
  'dry mass = -1 kg',
  'vacuum thrust = 0 N',
  'drag coefficient = 1e9',
  'radius = 1 m',
  'scale height = 1 mm',
  'surface density = 1e6 kg/m^3',
  'sqrt(-1)',
  'ln(0)',
  'asin(2)',
  'within 2 m to 1 m',
  'equal to',
  'at least',
  'at most',
  '<script>',
  '{{',
  '../../etc/passwd',
  'from "x.csv"',
  '\n',
  '\n  ',
  '\n\t',
]

const pick = <T>(next: () => number, from: readonly T[]): T => from[Math.floor(next() * from.length)]!

/** One change of a text: a stretch left out, doubled, moved, exchanged with another text's, a bit put in, a digit or a sign changed. */
function changed(text: string, next: () => number): string {
  const at = Math.floor(next() * (text.length + 1))
  const length = Math.floor(next() ** 3 * Math.min(200, text.length - at + 1))
  const [head, part, tail] = [text.slice(0, at), text.slice(at, at + length), text.slice(at + length)]
  switch (Math.floor(next() * 9)) {
    case 0:
      return head + tail
    case 1:
      return head + part + part + tail
    case 2:
      return head + pick(next, BITS) + tail
    case 3:
      return `${head} ${pick(next, BITS)} ${part}${tail}`
    case 4: {
      const other = pick(next, SHEETS)
      const from = Math.floor(next() * other.length)
      return head + other.slice(from, from + 80) + tail
    }
    case 5:
      return text.replace(/\d+/, () => String(Math.floor(next() * 10 ** Math.floor(next() * 12))))
    case 6: {
      const lines = text.split('\n')
      const [a, b] = [Math.floor(next() * lines.length), Math.floor(next() * lines.length)]
      ;[lines[a], lines[b]] = [lines[b]!, lines[a]!]
      return lines.join('\n')
    }
    case 7:
      return head + part.repeat(1 + Math.floor((next() ** 4 * 4000) / Math.max(1, part.length))) + tail
    default:
      return head + String.fromCharCode(Math.floor(next() ** 2 * 0xffff)) + tail
  }
}

function mutated(text: string, next: () => number): string {
  let result = text
  for (let turns = 1 + Math.floor(next() ** 2 * 8); turns > 0; turns--) result = changed(result, next).slice(0, 20_000)
  return result
}

/** Shares of the inputs that are a few lines to be read, and that are whole and are checked; the rest is solved as well. */
const READ = 0.96
const CHECKED = 0.992

/** The input of a seed. */
export function inputOf(seed: number): Input {
  const next = random(seed)
  const deep = next()
  if (deep < READ) {
    const lines = Array.from({ length: 1 + Math.floor(next() ** 3 * 4) }, () => pick(next, LINES))
    return { kind: 'lines', depth: 'read', text: mutated(lines.join('\n'), next), sheet: '' }
  }
  const depth = deep < CHECKED ? 'checked' : 'solved'
  const sheet = pick(next, SHEETS)
  const chance = next()
  if (chance < 0.7) return { kind: 'sheet', depth, text: mutated(sheet, next), sheet }
  if (chance < 0.78) return { kind: 'table', depth, text: mutated(ROWS, next), sheet: TABLE }
  if (chance < 0.86) return { kind: 'variants', depth, text: mutated(CHOICES, next), sheet: VARIANTS }
  if (chance < 0.94) return { kind: 'setting', depth, text: mutated('165 kg + 2 * dry mass', next), sheet: SHEETS[0]! }
  return { kind: 'link', depth, text: mutated(LINK, next), sheet }
}

const ROWS = 'time [s],thrust [kN]\n0,1\n1,2.5\n2,0\n'
const CHOICES = 'a [kg],x,label\n1,2,one\n2,3,two\n'
const LINK = '#sheet=q1YqTs1JTS5RslJQykjNyclXSM7PS8ssylWwUjBQMFQwUjBWMFEwVTBTMFewULBUMDRQMDRUMDRS'
const TABLE = 'table push of time from "x.csv"\nfigure y = push(1 s) + 1 kN\n'
const VARIANTS =
  'fact a = 1 kg\nlever x from 1 to 9 in steps of 1\nfigure y = a * x\nmust y at least 3 kg\nvariants\n  from "x.csv"\n'
