import { readFileSync } from 'node:fs'
import { expect, test } from 'vitest'
import { openSheet } from '../../sheets/index.ts'
import { workWords } from '../../sheets/report/work-words.ts'

const heron = readFileSync('sheets/examples/heron.loft', 'utf8')
/** Eleven settings of each of its two levers. */
const coarse = heron.replaceAll('in steps of 1 %', 'in steps of 7 %')

/** The shortfall of the band, then the fuel: of all settings that meet the musts the least, every one flown. */
function bestOf(text: string): readonly [short: number, fuel: number, cap: number] {
  const sheet = openSheet(text)
  let best: [number, number, number] = [Number.POSITIVE_INFINITY, 0, 0]
  for (let fuel = 30; fuel <= 100; fuel += 7)
    for (let cap = 30; cap <= 100; cap += 7) {
      const values = sheet.at({ 'fuel fraction': `${fuel} %`, 'throttle cap': `${cap} %` })
      const [ratio, g, q, height] = ['liftoff ratio', 'peak g', 'max q', 'apoapsis'].map(name => values[name]!)
      if (ratio! < 2 || g! > 6 * 9.80665 || q! > 70e3) continue
      const short = Math.max(0, (100e3 - height!) / 5e3, (height! - 110e3) / 5e3)
      if (short < best[0] - 1e-7 || (short < best[0] + 1e-7 && fuel < best[1])) best = [short, fuel, cap]
    }
  return best
}

test('a sheet of few settings is answered as by flying every one, and says that nothing is better', () => {
  for (const [dry, thrust] of [
    [144, 18.5],
    [165, 17.5],
    [120, 16.5],
    [200, 21],
    [172, 16],
  ]) {
    const text = coarse
      .replace(/(fact\s+dry mass\s*= )\S+/, `$1${dry}`)
      .replace(/(fact\s+vacuum thrust\s*= )\S+/, `$1${thrust}`)
    const answer = openSheet(text).solve()
    const [short, fuel, cap] = bestOf(text)
    const { outcome, quantities, targets } = answer
    expect([outcome, quantities['fuel fraction']!.text, answer.optimum]).toEqual(['solved', `${fuel} %`, 'proved'])
    expect(Math.max(0, -targets[3]!.margin!)).toBeCloseTo(short, 6)
    // Settings with as much fuel and as short of the band are told apart by room.
    if (short > 0) expect(quantities['throttle cap']!.text).toBe(`${cap} %`)
    expect(workWords(answer)).toMatch(/^proved, \d+ flights, /)
  }
})

test('pins leave few settings too', () => {
  const sheet = openSheet(heron)
  expect(sheet.solve().optimum).toBe('searched')
  const pinned = sheet.solve({ set: { 'throttle cap': '61 %' } })
  expect([pinned.optimum, pinned.quantities['fuel fraction']!.text]).toEqual(['proved', '92 %'])
  // Nothing is flown twice for the next limit: those with less fuel are known.
  expect(pinned.targets[3]!.price!.next).toMatchObject({ settings: { 'fuel fraction': { text: '91 %' } } })
  expect(pinned.work.explaining!.flights).toBeLessThan(20)
})

test('of a conflict the look at every setting is told as before: searched, with nothing left out', () => {
  const { outcome, conflict } = openSheet(
    coarse.replace('at most  6 g0', 'at most  3 g0').replace('should apoapsis', 'must   apoapsis'),
  ).solve()
  expect([outcome, conflict!.evidence, conflict!.sets.every(set => set.every)]).toEqual(['conflict', 'searched', true])
})

test('each variant is answered as it is alone, whatever the others and the sheet they start from', () => {
  const masses = [120, 144, 150, 165, 199]
  const rows = (list: readonly number[]) => {
    const text = `${coarse}\nvariants\n  each dry mass over ${list.map(mass => `${mass} kg`).join(', ')}\n  each vacuum thrust over 18.5 kN\n`
    return new Map([...openSheet(text).variants()].map(({ variant, ...row }) => [row['dry mass [kg]'], row]))
  }
  const all = rows(masses)
  expect(rows([...masses].reverse())).toEqual(new Map([...all].reverse()))
  const sheet = openSheet(coarse)
  for (const mass of masses) {
    expect(rows([mass]).get(mass)).toEqual(all.get(mass))
    const { quantities } = sheet.solve({ set: { 'dry mass': `${mass} kg`, 'vacuum thrust': '18.5 kN' } })
    // A search from the sheet’s own answer left 144 kg with 30 % of the fuel, far below the band.
    for (const lever of ['fuel fraction', 'throttle cap'])
      expect([mass, all.get(mass)![`${lever} [%]`]]).toEqual([mass, quantities[lever]!.value])
  }
})
