import { resolve } from 'node:path'
import { stringify } from 'csv-stringify/sync'
import { MOST_CELLS, MOST_POINTS } from '../map-answer.ts'
import { frontPicture } from '../picture/front-picture.ts'
import { mapPicture } from '../picture/map-picture.ts'
import { frontReport, frontTable } from '../report/front-report.ts'
import { jsonText } from '../report/json.ts'
import { mapReport } from '../report/map-report.ts'
import { mapTable } from '../report/map-table.ts'
import { lookOf, shown } from './looks.ts'
import { say, sayProblems } from './messages.ts'
import { openFile, settingsOf } from './opened.ts'
import { isPicture, pictureKind, themeOf, writePicture } from './pictures.ts'
import { Refusal, type Shell, STATUS, type Status } from './shell.ts'
import { OUTCOMES, type SolveOptions } from './solve.ts'
import { refusePlace, writeWhole } from './writing.ts'

export interface MapOptions extends SolveOptions {
  readonly across?: string
  readonly up?: string
  readonly cells?: string
  readonly others?: string
  readonly front?: boolean
  readonly points?: string
  readonly out?: string
  readonly theme?: string
}

/** `loftsheet map FILE`: in characters, as JSON, or written to a file. */
export async function map(named: string, options: MapOptions, shell: Shell): Promise<Status> {
  const kind = options.out === undefined ? null : pictureKind(options.out, ['svg', 'png', 'csv', 'json'], 'map')
  const theme = themeOf(options.theme, options.out)
  const cells = options.cells === undefined ? undefined : Number(options.cells)
  if (cells !== undefined && !(Number.isInteger(cells) && cells >= 8 && cells <= MOST_CELLS))
    throw new Refusal(`"--cells ${options.cells}" is not a number of cells, 8 to ${MOST_CELLS}.`)
  if (options.others !== undefined && options.others !== 'held' && options.others !== 'solve')
    throw new Refusal(`"--others ${options.others}" is neither held nor solve.`)
  const without = options.front ? (['across', 'up', 'cells', 'others'] as const) : (['points'] as const)
  const idle = without.find(each => options[each] !== undefined)
  if (idle !== undefined)
    throw new Refusal(
      options.front ? `--front takes no --${idle}; leave it out.` : '--points is of a front: add --front.',
    )
  if (options.front) return front(named, options, shell)
  const set = settingsOf(options.set)
  const { file, sheet, read } = await openFile(named, options, shell)
  refusePlace(options.out, read, shell)
  const answer = sheet.map({
    set,
    ...(options.across === undefined ? {} : { across: options.across }),
    ...(options.up === undefined ? {} : { up: options.up }),
    ...(cells === undefined ? {} : { cells }),
    ...(options.others === undefined ? {} : { others: options.others as 'held' | 'solve' }),
  })
  const status = answer.outcome === 'faulty' ? STATUS.wrong : STATUS.done
  if (options.json) shell.out.write(jsonText(answer, 0))
  else await sayProblems(shell, answer.problems, file)
  if (status !== STATUS.done) return status
  if (options.out !== undefined) {
    if (isPicture(options.out)) {
      const source = file.name === answer.sheet ? file.name : `${file.name}: ${answer.sheet}`
      await writePicture(
        mapPicture({ map: answer, answer: sheet.solve({ set }), theme, source }).svg,
        options.out,
        shell,
      )
    } else {
      const text = kind === 'json' ? jsonText(answer, 0) : stringify(mapTable(answer).map(row => [...row]))
      writeWhole(resolve(shell.folder, options.out), options.out, text)
    }
    say(shell, `${options.out} holds the map of ${answer.across} and ${answer.up}.`)
  } else if (!options.json) {
    const look = lookOf(shell.out, shell.environment)
    shell.out.write(shown(mapReport(answer, file.name, look), look))
  }
  return status
}

/** `loftsheet map FILE --front`: the settings between two aims. */
async function front(named: string, options: MapOptions, shell: Shell): Promise<Status> {
  const points = options.points === undefined ? undefined : Number(options.points)
  if (points !== undefined && !(Number.isInteger(points) && points >= 2 && points <= MOST_POINTS))
    throw new Refusal(`"--points ${options.points}" is not a number of points, 2 to ${MOST_POINTS}.`)
  const { file, sheet, read } = await openFile(named, options, shell)
  refusePlace(options.out, read, shell)
  const answer = sheet.front({ set: settingsOf(options.set), ...(points === undefined ? {} : { points }) })
  const status = OUTCOMES[answer.outcome]
  if (options.json) shell.out.write(jsonText(answer))
  else await sayProblems(shell, answer.problems, file)
  if (status !== STATUS.done) {
    if (!options.json && answer.outcome !== 'faulty')
      say(shell, 'There is no front to show: the musts were not all met. Look at the sheet with solve.')
    return status
  }
  if (isPicture(options.out)) {
    const drawn = frontPicture({ front: answer, theme: themeOf(options.theme, options.out), source: file.name })
    await writePicture(drawn.svg, options.out, shell)
    say(shell, `${options.out} shows the front: ${answer.points.length} settings.`)
  } else if (options.out !== undefined) {
    const text = /\.json$/i.test(options.out) ? jsonText(answer) : stringify(frontTable(answer).map(row => [...row]))
    writeWhole(resolve(shell.folder, options.out), options.out, text)
    say(shell, `${options.out} holds the front: ${answer.points.length} settings.`)
  } else if (!options.json) {
    const look = lookOf(shell.out, shell.environment)
    shell.out.write(shown(frontReport(answer, file.name, look.width), look))
  }
  return status
}
