import { same } from './dimension.ts'
import { meaningOf } from './symbol.ts'
import { PREFIXES, UNITS } from './table.ts'

/** Why a unit is none: what is wrong and what would mend it, each a whole sentence; `mend` null when unsure. */
export interface UnitFault {
  readonly message: string
  readonly mend: string | null
}

/** What would mend a unit's fault, said of any unit where nothing better is known. */
export function mendOf({ mend }: UnitFault): string {
  return mend ?? 'Write a unit that is known here, such as kg, kN or km/s.'
}

/** What people write for a unit that is spelled otherwise here. Common practice, no source. */
const HABITS: ReadonlyMap<string, string> = new Map(
  `in=inch kgs=kg lbs=lb lbfs=lbf ozs=oz hrs=h secs=s mins=min gs=g0 gn=g0 kph=km/h kmph=km/h
    kmh=km/h fps=ft/s mps=m/s cc=cm^3 ccm=cm^3 sqm=m^2 sqft=ft^2 ftlb=ft*lbf ftlbf=ft*lbf lbft=ft*lbf
    kt=kn kts=kn knt=kn NM=nmi micron=µm pct=% ksc=kgf/cm^2 gallons=gal pounds=lb
    degs=deg degrees=deg Celsius=degC Fahrenheit=degF Kelvin=K degK=K litres=L`
    .split(/\s+/)
    .map(pair => pair.split('=') as [string, string]),
)

/** The fault of a symbol that is no unit, with the whole unit mended where the right one is clear. */
export function unknownSymbol(text: string, symbol: string): UnitFault {
  const message = symbol === text ? `There is no unit ${symbol}.` : `There is no unit ${symbol}, as in ${text}.`
  if (symbol === 'ton' || symbol === 'tons') {
    return {
      message: `${symbol} alone can mean three masses.`,
      mend: 'Write t for 1,000 kg, shortton for 2,000 lb or longton for 2,240 lb.',
    }
  }
  const cased = otherCases(symbol)
  if (cased.length > 1 && !HABITS.has(symbol)) return { message, mend: `Write ${cased.map(told).join(' or ')}.` }
  const better = suggestUnit(symbol)
  return { message, mend: better === null ? null : `Write ${replaced(text, symbol, better)}.` }
}

/** A symbol put in the place of another, in parentheses where it is a quotient inside a larger unit. */
function replaced(text: string, symbol: string, better: string): string {
  if (text === symbol) return better
  const alone = /[*/]/.test(better) || (better.includes('^') && text.includes(`${symbol}^`))
  return text.replace(symbol, alone ? `(${better})` : better)
}

/** The unit that a wrong symbol most likely means, or null when that is not clear. */
export function suggestUnit(symbol: string): string | null {
  const habit = HABITS.get(symbol) ?? HABITS.get(symbol.toLowerCase())
  if (habit !== undefined) return habit
  const names = allNames()
  const word = names.get(plainWord(symbol, names))
  if (word !== undefined) return word
  const cased = otherCases(symbol)
  if (cased.length === 1) return cased[0]!
  const power = /^(\p{L}+)(-?)(\d)$/u.exec(symbol)
  if (power && meaningOf(power[1]!)) return `${power[1]}^${power[2]}${power[3]}`
  return product(symbol) ?? undoubled(symbol) ?? nearName(symbol, names)
}

/** "kN (kilonewton)": a symbol with the word it is the sign of. */
function told(symbol: string): string {
  const word = [...allNames()].find(([, named]) => named === symbol)?.[0]
  return word ? `${symbol} (${word})` : symbol
}

let made: ReadonlyMap<string, string> | null = null

/** Names of units in words, with SI prefixes, each to the symbol it stands for; made at the first wrong unit. */
function allNames(): ReadonlyMap<string, string> {
  made ??= nameAll()
  return made
}

function nameAll(): ReadonlyMap<string, string> {
  const pairs = UNITS.flatMap(row =>
    row.words.flatMap(word => {
      const own = [[word.toLowerCase(), row.symbols[0]!] as const]
      if (!row.prefixes) return own
      return [...own, ...PREFIXES.map(([sign, prefix]) => [prefix + word, sign + row.symbols[0]!] as const).reverse()]
    }),
  )
  return new Map(pairs)
}

/** A name without what makes it plural and without case. */
function plainWord(symbol: string, names: ReadonlyMap<string, string>): string {
  const word = symbol.toLowerCase()
  if (names.has(word)) return word
  return word.endsWith('es') && names.has(word.slice(0, -2)) ? word.slice(0, -2) : word.replace(/s$/, '')
}

/** Units of the usual prefixes that are written with the same letters in other cases. */
function otherCases(symbol: string): readonly string[] {
  const wanted = symbol.toLowerCase()
  return USUAL.filter(each => each.toLowerCase() === wanted)
}

/** Symbols that are likely to be meant: those of the table, and metric ones with the prefixes of daily use. */
const USUAL: readonly string[] = UNITS.flatMap(row => {
  const first = row.symbols[0]!
  return row.prefixes ? [first, ...['k', 'M', 'm', 'c'].map(prefix => prefix + first)] : [first]
})

/** Two units of two kinds written without a sign between them: "Nm" is N*m. Of "kmm" nobody can say what is meant. */
function product(symbol: string): string | null {
  for (let length = symbol.length - 1; length > 0; length--) {
    const [left, right] = [symbol.slice(0, length), symbol.slice(length)]
    if (!USUAL.includes(left) || !USUAL.includes(right)) continue
    const [a, b] = [meaningOf(left), meaningOf(right)]
    if (a && b && !same(a.dimension, b.dimension)) return `${left}*${right}`
  }
  return null
}

/** The one usual symbol of which a letter was struck twice, as in "kgg"; a single letter twice may mean its square as well, "kmm" two units. */
function undoubled(symbol: string): string | null {
  if (symbol.length < 3) return null
  const without = [...symbol].map((_, at) => symbol.slice(0, at) + symbol.slice(at + 1))
  const usual = new Set(without.filter(each => USUAL.includes(each)))
  const twice = without.find((each, at) => usual.has(each) && at > 0 && symbol[at] === symbol[at - 1])
  return usual.size === 1 ? (twice ?? null) : null
}

/** The one name or long symbol that is a single slip of the keyboard away. */
function nearName(symbol: string, named: ReadonlyMap<string, string>): string | null {
  if (symbol.length < 4) return null
  const word = symbol.toLowerCase()
  const one = word.replace(/s$/, '')
  const near = new Set<string>()
  const look = (name: string, sign: string): void => {
    if (oneSlip(word, name) || oneSlip(one, name)) near.add(sign)
  }
  for (const [name, sign] of named) look(name, sign)
  for (const each of USUAL) if (each.length > 3) look(each.toLowerCase(), each)
  return near.size === 1 ? [...near][0]! : null
}

/** Whether two words differ by one letter more, less, other, or by two neighbours exchanged. */
function oneSlip(a: string, b: string): boolean {
  if (Math.abs(a.length - b.length) > 1) return false
  let start = 0
  while (start < a.length && a[start] === b[start]) start++
  const [restA, restB] = [a.slice(start), b.slice(start)]
  if (restA.slice(1) === restB || restB.slice(1) === restA || restA.slice(1) === restB.slice(1)) return true
  return restA[0] === restB[1] && restA[1] === restB[0] && restA.slice(2) === restB.slice(2)
}
