import { expect } from 'vitest'
import { openSheet } from '../../sheets/index.ts'
import { cardPage } from '../../sheets/picture/card.ts'

export type Paper = 'A4' | 'letter'

/** Width and height of a sheet of paper [pt]: ISO 216 and ANSI Y14.1, to a printer's grain. */
const SIZES: Readonly<Record<Paper, readonly [number, number]>> = { A4: [594.96, 841.92], letter: [612, 792] }

/** The flight card of a sheet, solved, as a page of HTML. */
export function cardOf(text: string, paper: Paper = 'A4', wanted?: string): string {
  const sheet = openSheet(text)
  const answer = sheet.solve()
  const flight = wanted ?? Object.keys(answer.flights)[0]
  const flown = answer.outcome === 'solved' && flight !== undefined ? sheet.fly({ flight }) : null
  return cardPage({ answer, flight: flown, name: flight, file: 'heron.loft', paper })
}

/** Each page of a PDF is an object of the type Page with a box of its size (ISO 32000-1, 7.7.3.3). */
export function expectOnePage(bytes: Uint8Array, paper: Paper): void {
  const pdf = Buffer.from(bytes).toString('latin1')
  expect(pdf.match(/\/Type\s*\/Page[^s]/g)?.length).toBe(1)
  const box = /\/MediaBox\s*\[0 0 ([\d.]+) ([\d.]+)\]/.exec(pdf)!
  const [width, height] = SIZES[paper]
  expect(Math.abs(Number(box[1]) - width)).toBeLessThan(1)
  expect(Math.abs(Number(box[2]) - height)).toBeLessThan(1)
}
