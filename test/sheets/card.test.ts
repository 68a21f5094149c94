import { spawnSync } from 'node:child_process'
import { mkdtempSync, readFileSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { describe, expect, test } from 'vitest'
import { printedPdf } from '../../sheets/command/pdf.ts'
import { openSheet } from '../../sheets/index.ts'
import { cardPage } from '../../sheets/picture/card.ts'

const heron = readFileSync('sheets/examples/heron.loft', 'utf8')

function cardOf(text: string, paper: 'A4' | 'letter' = 'A4'): string {
  const sheet = openSheet(text)
  const answer = sheet.solve()
  const [flight] = Object.keys(answer.flights)
  const flown = answer.outcome === 'solved' && flight !== undefined ? sheet.fly({ flight }) : null
  return cardPage({ answer, flight: flown, file: 'heron.loft', paper })
}

/** The words of a page, without its marks. */
function words(page: string): string {
  return page
    .replace(/<style>[\s\S]*?<\/style>/, '')
    .replace(/<[^>]*>/g, ' ')
    .replace(/\s+/g, ' ')
}

describe('the flight card of the Heron sheet', () => {
  const page = words(cardOf(heron))
  test.each([
    ['what to load, of what, and how much to take out', '276 kg 92 % of 300 kg: take out 24 kg'],
    ['the cap', 'throttle cap 61 %'],
    ['the expected figures', 'apoapsis 100.1 km burnout speed 1,206 m/s peak g 5.987 g0 max q 59.28 kPa'],
    ['the verdict', 'Every target is met. Peak g and apoapsis are at their limits.'],
    ['each target with its margin', 'met, 10.7 kPa of room'],
    ['what a limit costs', 'Each 0.1 g0 more of peak g would save 0.27 kg of propellant mass.'],
    ['what happens when', 'max q 39.1 s'],
    ['what is known, with its source', 'dry mass airframe, recovery, camera payload 165 kg'],
    ['room for what was measured', 'Measured fuel fraction, % throttle cap, % apoapsis, km'],
    ['the cautions', 'range safety officer decide'],
  ])('says %s', (_, told) => {
    expect(page).toContain(told)
  })
})

test('a conflict prints no settings, but its mends', () => {
  const page = words(cardOf(heron.replace('6 g0', '5 g0').replace('should apoapsis', 'must apoapsis')))
  expect(page).toContain('not for flight')
  expect(page).toContain('peak g at most 5.685 g0 0.685 g0 more, 14 %')
  expect(page).not.toContain('take out')
  expect(page).not.toContain('94 %')
})

test('a sheet without levers or flight has a card as well', () => {
  expect(words(cardOf('fact a = 3 kg\nmust a at least 2 kg'))).toContain('Nothing to set: this sheet has no levers.')
})

test('nothing of a sheet is ever markup', () => {
  const page = cardOf(
    heron
      .replace('Heron 3, a hybrid sounding rocket', '<script>alert(1)</script>')
      .replace('airframe, recovery', '<b onclick=x>'),
  )
  expect(page).not.toMatch(/<script|<b onclick/)
  expect(page).toContain('&lt;script&gt;')
})

const chromium = spawnSync('chromium', ['--version'], { encoding: 'utf8' }).status === 0

describe.runIf(chromium)('printed by a Chromium', () => {
  /** A sheet with many levers, targets and facts. */
  const crowded = [
    ...Array.from(
      { length: 30 },
      (_, k) =>
        `fact number ${'abcdefghijklmnopqrstuvwxyzABCD'[k]} = ${k + 1} kg # from a long list of things that were weighed`,
    ),
    ...Array.from({ length: 6 }, (_, k) => `lever share ${'abcdef'[k]} from 0 % to 100 % in steps of 1 %`),
    ...Array.from({ length: 14 }, (_, k) => `must share ${'abcdef'[k % 6]} + ${k} % at least ${20 + k} %`),
  ].join('\n')

  test.each([
    ['Heron', heron],
    ['a crowded sheet', crowded],
    ['a conflict', heron.replace('6 g0', '5 g0').replace('should apoapsis', 'must apoapsis')],
  ])(
    'the card of %s is exactly one page, on A4 and on Letter',
    async (_, text) => {
      for (const [paper, size] of [
        ['A4', [594.96, 841.92]],
        ['letter', [612, 792]],
      ] as const) {
        const pdf = Buffer.from(await printedPdf(cardOf(text, paper), {})).toString('latin1')
        expect(pdf.match(/\/Type\s*\/Page[^s]/g)?.length).toBe(1)
        const box = /\/MediaBox\s*\[0 0 ([\d.]+) ([\d.]+)\]/.exec(pdf)!
        expect(Math.abs(Number(box[1]) - size[0])).toBeLessThan(1)
        expect(Math.abs(Number(box[2]) - size[1])).toBeLessThan(1)
      }
    },
    120_000,
  )

  test('nothing of it is cut off', () => {
    const folder = mkdtempSync(join(tmpdir(), 'card-'))
    for (const text of [heron, crowded]) {
      const probe =
        '<script>addEventListener("load",()=>{const m=document.querySelector("main");document.title=m.scrollHeight<=m.clientHeight+1?"fits":"too high by "+(m.scrollHeight-m.clientHeight)})</script>'
      const file = join(folder, 'card.html')
      writeFileSync(file, cardOf(text, 'letter').replace('</head>', `${probe}</head>`))
      const { stdout } = spawnSync(
        'chromium',
        ['--headless', '--no-sandbox', '--disable-gpu', '--dump-dom', `file://${file}`],
        { encoding: 'utf8' },
      )
      expect(stdout).toContain('<title>fits</title>')
    }
  }, 60_000)
})
