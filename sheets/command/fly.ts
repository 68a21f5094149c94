import { resolve } from 'node:path'
import { stringify } from 'csv-stringify/sync'
import type { Answer, FlightAnswer } from '../answer.ts'
import { flightPicture } from '../picture/flight-picture.ts'
import { historyTable } from '../report/history.ts'
import { jsonText } from '../report/json.ts'
import { settingWords } from '../report/settings.ts'
import { capital } from '../report/verdict.ts'
import { say, sayProblems } from './messages.ts'
import { openFile, settingsOf } from './opened.ts'
import { isPicture, pictureKind, themeOf, writePicture } from './pictures.ts'
import { type Shell, STATUS, type Status } from './shell.ts'
import { OUTCOMES, type SolveOptions } from './solve.ts'
import { refusePlace, writeWhole } from './writing.ts'

export interface FlyOptions extends SolveOptions {
  readonly flight?: string
  readonly out?: string
  readonly theme?: string
}

/** `loftsheet fly FILE`: the time history as CSV. */
export async function fly(named: string, options: FlyOptions, shell: Shell): Promise<Status> {
  if (options.out !== undefined) pictureKind(options.out, ['csv', 'svg', 'png'], 'fly')
  const theme = themeOf(options.theme, options.out)
  const set = settingsOf(options.set)
  const { file, sheet, read } = await openFile(named, options, shell)
  refusePlace(options.out, read, shell)
  const flown = sheet.fly({ set, ...(options.flight === undefined ? {} : { flight: options.flight }) })
  if (options.json) shell.out.write(jsonText(flown, 0))
  else await sayProblems(shell, flown.problems ?? sheet.problems, file)
  const status = Object.hasOwn(OUTCOMES, flown.outcome) ? OUTCOMES[flown.outcome as keyof typeof OUTCOMES] : STATUS.done
  if (status !== STATUS.done) {
    if (!options.json) sayWhy(flown.outcome, shell)
    return status
  }
  if (flown.history.rows.length === 0) {
    if (!options.json) say(shell, `There is no flight to show: it ${flown.outcome}. Look at its numbers with solve.`)
    return STATUS.wrong
  }
  if (isPicture(options.out)) {
    const answer = sheet.solve({ set })
    const drawn = flightPicture({
      title: file.name === answer.sheet ? file.name : answer.sheet,
      settings: settingWords(answer.quantities) === '' ? '' : `${capital(settingWords(answer.quantities))}.`,
      flight: flown,
      targets: targetsOf(answer, options.flight),
      theme,
    })
    await writePicture(drawn.svg, options.out, shell)
    say(shell, `${options.out} shows the flight, which ${flown.outcome}.`)
    return STATUS.done
  }
  writeHistory(flown, options, shell)
  return STATUS.done
}

/** The targets that stand on one flight: with several of them those that name it. */
function targetsOf(answer: Answer, flight: string | undefined): Answer['targets'] {
  const names = Object.keys(answer.flights)
  const wanted = flight ?? names[0]
  return names.length < 2 ? answer.targets : answer.targets.filter(({ text }) => text.includes(` of ${wanted} `))
}

function writeHistory(flown: FlightAnswer, options: FlyOptions, shell: Shell): void {
  const csv = () => stringify(historyTable(flown.history).map(row => [...row]))
  if (options.out === undefined) {
    if (!options.json) shell.out.write(csv())
    return
  }
  writeWhole(resolve(shell.folder, options.out), options.out, csv())
  say(shell, `${options.out} holds the flight, which ${flown.outcome}: ${flown.history.rows.length} moments of it.`)
}

/** Levers that were not set are solved first; where that finds no settings there is no flight. */
function sayWhy(outcome: string, shell: Shell): void {
  if (outcome === 'conflict')
    say(shell, 'There is no flight to show: the musts cannot all be met. Set the levers with --set.')
  if (outcome === 'unsure') say(shell, 'There is no flight to show: no settings were found. Set the levers with --set.')
}
