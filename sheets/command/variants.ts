import { resolve } from 'node:path'
import { variantsPicture } from '../picture/variants-picture.ts'
import { jsonText } from '../report/json.ts'
import { counted, variantsReport } from '../report/variants-report.ts'
import type { VariantColumn } from '../variants/answer.ts'
import { MOST_CELLS, Tally, type TallyWishes, TooManyCells } from '../variants/tally.ts'
import { lookOf, shown } from './looks.ts'
import { say, sayProblems } from './messages.ts'
import { pictureKind, themeOf, writePicture } from './pictures.ts'
import { ReaderGone, Refusal, type Shell, STATUS, type Status } from './shell.ts'
import { endedBy, type Stop, watchSignals } from './stopping.ts'
import { type Begun, digestOf, openVariants, totalOf } from './variants-begun.ts'
import { type Crew, crewOf } from './variants-crew.ts'
import { tasksOf } from './variants-input.ts'
import { outletOutput } from './variants-outlet.ts'
import { type Earlier, earlier, type FilePlan, fileOutput, type Outgoing } from './variants-output.ts'
import { AHEAD, type Done, type Pace, paceOf } from './variants-pace.ts'
import { refusePlaces } from './variants-places.ts'
import { type Progress, progressOf } from './variants-progress.ts'
import { crossOf, rankOf, type VariantsOptions, type Wanted, wantedOf } from './variants-words.ts'

/** `loftsheet variants FILE`, or `--join PART…`. */
export async function variants(files: readonly string[], options: VariantsOptions, shell: Shell): Promise<Status> {
  if (options.join) return (await import('./variants-join.ts')).joinParts(files, options, shell)
  const ended = await variantRows(files, options, shell)
  return typeof ended === 'number' ? ended : endedBy(ended)
}

/** Solves the variants of a sheet, telling the columns before the first row; the status, or the signal that stopped it. */
export async function variantRows(
  files: readonly string[],
  options: VariantsOptions,
  shell: Shell,
  hear: (columns: readonly VariantColumn[]) => void = () => {},
): Promise<Status | NodeJS.Signals> {
  if (files.length !== 1)
    throw new Refusal('variants takes one sheet; several files are parts to be put together with --join.')
  const wanted = wantedOf(options)
  const begun = await openVariants(files[0]!, options, shell)
  const { file, answer } = begun
  const faulty = answer.problems.some(problem => problem.severity === 'error')
  if (faulty && options.json) {
    shell.out.write(jsonText({ sheet: answer.sheet, outcome: 'faulty', rows: [], problems: answer.problems }))
    return STATUS.wrong
  }
  await sayProblems(shell, answer.problems, file)
  if (faulty) return STATUS.wrong
  hear(answer.columns)
  return runAll(begun, wanted, options, shell)
}

/** Everything of one run, once it is known what is to be done. */
interface Job {
  readonly begun: Begun
  readonly wanted: Wanted
  readonly tally: Tally
  readonly output: Outgoing
  readonly total: number | null
  readonly before: number
}

async function runAll(
  begun: Begun,
  wanted: Wanted,
  options: VariantsOptions,
  shell: Shell,
): Promise<Status | NodeJS.Signals> {
  const { answer } = begun
  const { columns } = answer
  const rank = options.rank === undefined ? null : rankOf(options.rank, columns)
  const { picture } = options
  if (picture !== undefined) pictureKind(picture, ['svg', 'png'], 'variants')
  else if (options.across !== undefined || options.up !== undefined)
    throw new Refusal('--across and --up are of a picture: name its file with --picture.')
  refusePlaces(begun, wanted, options, shell)
  const theme = themeOf(options.theme, picture)
  const cross = picture === undefined ? null : crossOf(options, columns)
  const wishes: TallyWishes = { ...(rank ? { rank } : {}), ...(cross ? { cross } : {}) }
  const { out } = options
  const plan: FilePlan | null =
    out === undefined
      ? null
      : {
          path: resolve(shell.folder, out),
          named: options.book ?? out,
          columns,
          format: wanted.format,
          begun: await digestOf(begun, wanted, wishes),
          sparse: wanted.only !== null,
        }
  if (options.resume && !plan) throw new Refusal('--resume goes on with a file: name it with --out.')
  const old: Earlier | null = plan && options.resume ? await earlier(plan, wishes) : null
  if (old?.whole) {
    const drawn = picture === undefined ? '' : ` For ${picture} solve them anew, without --resume.`
    say(shell, `${out} is whole already; there is nothing to go on with.${drawn}`)
    return STATUS.done
  }
  const tally = new Tally(columns, wishes, old?.tally)
  const output = plan
    ? await fileOutput(plan, old, tally)
    : outletOutput(
        shell,
        columns,
        options.json ? { kind: 'json', sheet: answer.sheet, last: () => ({ tally: tally.state }) } : { kind: 'csv' },
      )
  const job: Job = { begun, wanted, tally, output, total: await totalOf(begun, wanted), before: old?.done ?? 0 }
  const stopped = await work(job, options, shell)
  if (stopped !== null) {
    sayStopped(job, options, shell)
    return stopped
  }
  if (picture !== undefined && cross) {
    const [across, up] = cross
    const subject = { sheet: answer.sheet, columns, tally: tally.state, across, up, theme }
    await writePicture(variantsPicture(subject).svg, picture, shell)
    say(shell, `${picture} shows the variants by ${columns[across]!.name} and ${columns[up]!.name}.`)
  }
  sayEnd(job, options, rank, shell)
  return STATUS.done
}

/** Solves everything, writing rows in the order of their numbers; null, or the signal that stopped it. */
async function work(job: Job, options: VariantsOptions, shell: Shell): Promise<NodeJS.Signals | null> {
  const { begun, wanted, total, before } = job
  const left = (total ?? Number.POSITIVE_INFINITY) - before
  const hands = Math.max(1, Math.min(wanted.workers, Math.ceil(left / 8)))
  const pace = paceOf(left, hands)
  const { format, only } = wanted
  const crew = crewOf(hands, begun.opening, begun.answer, { format, only, tally: job.tally.wishes })
  const progress = progressOf(shell, options.quiet ?? false, total, before)
  const stop = watchSignals()
  try {
    const portion = { share: wanted.share, together: pace.together, skip: before }
    await pump(tasksOf(begun.answer, begun.paths, portion), job, { crew, pace, progress, stop })
    await job.output.end(stop.signal === null)
  } catch (error) {
    await job.output.end(false).catch(() => {})
    if (error instanceof ReaderGone && options.picture !== undefined)
      throw new Refusal(`${options.picture} is not drawn: the reader of the rows has gone away.`)
    throw error instanceof TooManyCells ? tooMany(job, options) : error
  } finally {
    progress.end()
    stop.done()
    await crew.end()
  }
  return stop.signal
}

function tooMany({ wanted }: Job, { out, book }: VariantsOptions): Refusal {
  const more = out === undefined || book !== undefined || wanted.only !== null ? '' : ' Go on without it: --resume.'
  return new Refusal(`There are too many pairs of values for a picture, over ${counted(MOST_CELLS)}.${more}`)
}

interface Hands {
  readonly crew: Crew
  readonly pace: Pace
  readonly progress: Progress
  readonly stop: Stop
}

async function pump(
  tasks: ReturnType<typeof tasksOf>,
  { tally, output, before }: Job,
  { crew, pace, progress, stop }: Hands,
): Promise<void> {
  const underWay: Promise<Done>[] = []
  let done = before
  const next = async (): Promise<void> => {
    const part = await underWay.shift()!
    const { batch } = part
    pace.heard(part)
    tally.add(batch.tally)
    done += batch.many
    await output.write(batch.text, done)
    progress.at(done)
  }
  for await (const task of tasks) {
    if (stop.signal !== null) break
    const part = crew.solve(task)
    // A fault is met where its rows are taken; until then it is no unheard one.
    part.catch(() => {})
    underWay.push(part)
    if (underWay.length >= crew.hands * AHEAD) await next()
  }
  while (underWay.length > 0) await next()
}

function sayStopped({ tally, total }: Job, { out, book }: VariantsOptions, shell: Shell): void {
  const so = total === null ? counted(tally.total) : `${counted(tally.total)} of ${counted(total)}`
  const kept = out === undefined ? 'were written.' : `are in ${out}. Go on with the same words and --resume.`
  const where = book === undefined ? kept : `were solved; ${book} is not written.`
  say(shell, `Stopped: ${so} variants ${where}`)
}

function sayEnd(
  { begun, tally }: Job,
  options: VariantsOptions,
  rank: { place: number; sense: 'least' | 'most' } | null,
  shell: Shell,
): void {
  const { sheet, columns } = begun.answer
  const summary = { sheet, columns, tally: tally.state, rank }
  if (options.json && options.out !== undefined) {
    shell.out.write(jsonText(summary))
    return
  }
  // Rows on standard output leave it to the rows.
  const outlet = options.out === undefined ? shell.messages : shell.out
  if (options.quiet && options.out === undefined) return
  const look = lookOf(outlet, shell.environment)
  outlet.write(shown(variantsReport(summary, look.width), look))
}
