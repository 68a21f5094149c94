import { readFileSync } from 'node:fs'
import { describe, expect, test } from 'vitest'
import { printedPdf } from '../../sheets/command/pdf.ts'
import { openSheet } from '../../sheets/index.ts'
import { cardPage } from '../../sheets/picture/card.ts'
import { cardOf, expectOnePage } from '../support/card.ts'
import { chromiumHere } from '../support/chromium.ts'

const heron = readFileSync('sheets/examples/heron.loft', 'utf8')

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

test('a conflict that was not looked at to its end says so, and heads no list of none', () => {
  const answer = openSheet('lever a from 1 to 40\nlever b from 1 to 40\nmust sin(a * b) at least 1.5').solve({
    watch: () => false,
  })
  const page = words(cardPage({ answer, flight: null, file: 'sine.loft', paper: 'A4' }))
  expect(page).toContain('The time was up before all of this was looked at: changes that would free it may be missing.')
  expect(page).not.toContain('What would free')
})

test('a conflict prints no settings, but its mends', () => {
  const page = words(cardOf(heron.replace('6 g0', '5 g0').replace('should apoapsis', 'must apoapsis')))
  expect(page).toContain('not for flight')
  expect(page).toContain('peak g at most 5.685 g0 0.685 g0 more, 14 %')
  expect(page).not.toContain('take out')
  expect(page).not.toContain('94 %')
})

test('of several flights the card tells of the one that is asked for', () => {
  const sites = readFileSync('sheets/examples/two-sites.loft', 'utf8')
  const answer = openSheet(sites).solve()
  for (const flight of ['coast', 'plateau']) {
    const page = words(cardOf(sites, 'A4', flight))
    expect(page).toContain(`flight card, ${flight}`)
    expect(page).toContain(`expected apoapsis ${answer.quantities[`apoapsis of ${flight}`]!.text} `)
    expect(page).toContain('Measured fuel fraction, % throttle cap, % apoapsis, km')
  }
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

const chromium = chromiumHere() !== null

describe.runIf(chromium)('printed by a Chromium of this machine', () => {
  test('the card of the Heron sheet is exactly one page, on A4 and on Letter', async () => {
    for (const paper of ['A4', 'letter'] as const) expectOnePage(await printedPdf(cardOf(heron, paper), {}), paper)
  }, 120_000)
})
