import { resolve } from 'node:path'
import { cardPage } from '../picture/card.ts'
import { say, sayProblems } from './messages.ts'
import { openFile, settingsOf } from './opened.ts'
import { printedPdf } from './pdf.ts'
import { pictureKind } from './pictures.ts'
import { Refusal, type Shell, STATUS, type Status } from './shell.ts'
import { OUTCOMES, type SolveOptions } from './solve.ts'
import { refusePlace, writeWhole } from './writing.ts'

export interface CardOptions extends Omit<SolveOptions, 'json'> {
  readonly out?: string
  readonly paper?: string
  readonly flight?: string
}

/** `loftsheet card FILE`: one printable page, HTML on standard output or in a file, PDF where a Chromium is at hand. */
export async function card(named: string, options: CardOptions, shell: Shell): Promise<Status> {
  const kind = options.out === undefined ? 'html' : pictureKind(options.out, ['html', 'pdf'], 'card')
  const paper = paperOf(options.paper)
  const set = settingsOf(options.set)
  const { file, sheet, read } = await openFile(named, options, shell)
  refusePlace(options.out, read, shell)
  const answer = sheet.solve({ set })
  await sayProblems(shell, answer.problems, file)
  if (answer.outcome === 'faulty') return STATUS.wrong
  if (answer.outcome === 'unsure') {
    say(shell, 'There is no card to print: no settings were found. Look at the sheet with solve.')
    return STATUS.unsure
  }
  const flights = Object.keys(answer.flights)
  const flight = options.flight ?? flights[0]
  if (flight !== undefined && !flights.includes(flight))
    throw new Refusal(
      `"${flight}" is no flight of this sheet. ${flights.length > 0 ? `There are: ${flights.join(', ')}` : 'It has none'}.`,
    )
  const flown = answer.outcome === 'solved' && flight !== undefined ? sheet.fly({ set, flight }) : null
  const page = cardPage({ answer, flight: flown, name: flight, file: file.name, paper })
  if (options.out === undefined) shell.out.write(page)
  else {
    const place = resolve(shell.folder, options.out)
    writeWhole(place, options.out, kind === 'pdf' ? await printedPdf(page, shell.environment) : page)
    say(shell, `${options.out} holds the flight card, one page of ${paper === 'A4' ? 'A4' : 'Letter'}.`)
  }
  return OUTCOMES[answer.outcome]
}

function paperOf(named: string | undefined): 'A4' | 'letter' {
  const paper = (named ?? 'A4').toLowerCase()
  if (paper === 'a4') return 'A4'
  if (paper === 'letter') return 'letter'
  throw new Refusal(`"--paper ${named}" is neither A4 nor letter.`)
}
