import { Command, CommanderError } from 'commander'
import type { CardOptions } from './card.ts'
import type { FlyOptions } from './fly.ts'
import type { MapOptions } from './map.ts'
import { say } from './messages.ts'
import type { Common } from './opened.ts'
import type { PageOptions } from './page.ts'
import { ReaderGone, Refusal, type Shell, STATUS, type Status } from './shell.ts'
import type { SolveOptions } from './solve.ts'
import type { TidyOptions } from './tidy.ts'
import { wholeKind } from './variants-kinds.ts'
import type { VariantsOptions } from './variants-words.ts'
import type { WorkingOptions } from './working.ts'

/** Kept equal to package.json by a test. */
export const VERSION = '0.1.0'

const INTRODUCTION = `Works backwards from a rocket flight's targets to the settings that meet them.
A sheet is a text file: facts, levers, figures, flights, and targets to be met.`

const EXAMPLES = `
Examples:
  loftsheet solve heron.loft
  loftsheet solve heron.loft --set "dry mass = 180 kg"
  loftsheet map heron.loft --out map.svg
  loftsheet card heron.loft --out card.html
  loftsheet fly heron.loft --out hop.csv
  loftsheet page heron.loft
  cat heron.loft | loftsheet check -

Exit status: 0 solved, or the verb did its work; 1 conflict; 2 the sheet or the
words of the command are wrong; 3 unsure; 4 a fault of the program's own.`

/** Runs the command with its words (those after `loftsheet`); never throws, and gives the exit status. */
export async function run(words: readonly string[], shell: Shell): Promise<Status> {
  let status: Status = STATUS.done
  const ended = (result: Status) => {
    status = result
  }
  try {
    const all = program(shell, ended)
    await all.parseAsync(verbless(words, all) ? words.slice(1) : [...words], { from: 'user' })
    return status
  } catch (error) {
    if (error instanceof ReaderGone) return STATUS.done
    if (error instanceof CommanderError) {
      if (error.exitCode === 0) return STATUS.done
      // Help that nobody asked for has been shown already.
      if (error.code !== 'commander.help')
        say(shell, `loftsheet: ${(await import('./word-faults.ts')).wordFault(error)}`)
      return STATUS.wrong
    }
    if (error instanceof Refusal) {
      say(shell, `loftsheet: ${error.message}`)
      return STATUS.wrong
    }
    sayFault(error, shell)
    return STATUS.fault
  }
}

/** Whether help is wanted of what is no verb: that word is told then, as it is where it stands alone. */
function verbless([first, wanted]: readonly string[], all: Command): boolean {
  const named = wanted !== undefined && !wanted.startsWith('-') && wanted !== 'help'
  return first === 'help' && named && !all.commands.some(each => each.name() === wanted)
}

/** A fault of our own: a plain sentence, and the trace for whoever asks for it. */
function sayFault(error: unknown, shell: Shell): void {
  say(shell, 'Something of ours went wrong; your sheet is as it was. LOFTSHEET_TRACE=1 shows where.')
  if (shell.environment.LOFTSHEET_TRACE)
    shell.messages.write(`${error instanceof Error ? (error.stack ?? error.message) : String(error)}\n`)
}

function program(shell: Shell, ended: (status: Status) => void): Command {
  const all = new Command('loftsheet')
    .usage('VERB FILE [options]')
    .description(INTRODUCTION)
    .version(VERSION, '-V, --version', 'print the version')
    .helpOption('-h, --help', 'print this help')
    .helpCommand('help [verb]', 'print the help of a verb')
    .addHelpText('after', EXAMPLES)
    .configureHelp({
      subcommandTerm: each => each.name(),
      styleTitle: title => (title === 'Commands:' ? 'Verbs:' : title),
    })
    .exitOverride()
    .configureOutput({
      writeOut: text => shell.out.write(text),
      writeErr: text => shell.messages.write(text),
      // Told in our words, where it is caught.
      outputError: () => {},
    })
  addSolve(all, shell, ended)
  addCheck(all, shell, ended)
  addFly(all, shell, ended)
  addWorking(all, shell, ended)
  addMap(all, shell, ended)
  addCard(all, shell, ended)
  addVariants(all, shell, ended)
  addPage(all, shell, ended)
  addTidy(all, shell, ended)
  return all
}

type Add = (all: Command, shell: Shell, ended: (status: Status) => void) => void

const FILE = 'the sheet, a text file NAME.loft; - reads standard input'
const JSON_HELP = 'print one JSON document, and nothing else on standard output'
const SET_HELP = 'put a value in the place of a fact, or pin a lever; may be repeated'
const THEME_HELP = 'the ground of a picture: paper or slate (default: paper)'
const OUTSIDE_HELP = 'let tables be read from outside the folder of the sheet'

function collect(value: string, before: readonly string[] = []): readonly string[] {
  return [...before, value]
}

function verb(all: Command, name: string, summary: string): Command {
  return all
    .command(name)
    .summary(summary)
    .description(`${summary[0]!.toUpperCase()}${summary.slice(1)}.`)
    .usage('FILE [options]')
    .argument('<file>', FILE)
    .option('--allow-outside', OUTSIDE_HELP)
}

const addSolve: Add = (all, shell, ended) => {
  verb(all, 'solve', 'find the settings that meet the targets, and show them with the flight')
    .option('--set <name=value>', SET_HELP, collect)
    .option('--out <file>', 'write the solved sheet as a spreadsheet as well: .xlsx')
    .option(
      '--within <time>',
      'end the search, and what explains a conflict, after so long, as in 10s, with the best so far',
    )
    .option('--sensitivities', 'tell how far each target moves with each lever and fact')
    .option('--json', JSON_HELP)
    .addHelpText('after', '\nExample:\n  loftsheet solve heron.loft --set "dry mass = 180 kg"')
    .action(async (file: string, options: SolveOptions) =>
      ended(await (await import('./solve.ts')).solve(file, options, shell)),
    )
}

const addCheck: Add = (all, shell, ended) => {
  verb(all, 'check', 'read the sheet and its dimensions; say what is known, free and worked out; solve nothing')
    .option('--json', JSON_HELP)
    .addHelpText('after', '\nExample:\n  loftsheet check heron.loft')
    .action(async (file: string, options: Common) =>
      ended(await (await import('./check.ts')).check(file, options, shell)),
    )
}

const addFly: Add = (all, shell, ended) => {
  verb(all, 'fly', 'fly one flight and give its time history as CSV; levers that are not set are solved first')
    .option('--set <name=value>', SET_HELP, collect)
    .option('--flight <name>', 'the flight, where the sheet has several')
    .option('--out <file>', 'write the history as .csv, or as a picture: .svg or .png')
    .option('--theme <name>', THEME_HELP)
    .option('--json', JSON_HELP)
    .addHelpText('after', '\nExample:\n  loftsheet fly heron.loft --set "throttle cap = 55 %" --out hop.csv')
    .action(async (file: string, options: FlyOptions) =>
      ended(await (await import('./fly.ts')).fly(file, options, shell)),
    )
}

const addWorking: Add = (all, shell, ended) => {
  const summary = 'how one quantity comes about, step by step, with numbers and units put in'
  all
    .command('working')
    .summary(summary)
    .description(`${summary[0]!.toUpperCase()}${summary.slice(1)}.`)
    .usage('FILE NAME [options]')
    .argument('<file>', FILE)
    .argument('<name...>', 'a quantity of the sheet, a figure of its flight, or a target by its text')
    .option('--deep <levels>', 'how many levels of what it is made of, or all (default: 1)')
    .option('--set <name=value>', SET_HELP, collect)
    .option('--json', JSON_HELP)
    .option('--allow-outside', OUTSIDE_HELP)
    .addHelpText('after', '\nExample:\n  loftsheet working heron.loft "peak g" --deep all')
    .action(async (file: string, name: readonly string[], options: WorkingOptions) =>
      ended(await (await import('./working.ts')).working([file, ...name], options, shell)),
    )
}

const addMap: Add = (all, shell, ended) => {
  verb(all, 'map', 'the trade map of two levers: where the targets are met, each limit’s line, the solution')
    .option('--across <lever>', 'the lever across (default: the first that is free)')
    .option('--up <lever>', 'the lever up (default: the next)')
    .option('--cells <number>', 'cells each way (default: 200)')
    .option(
      '--others <how>',
      'the other levers: held where the sheet is solved, or solve at each place (default: held)',
    )
    .option('--front', 'the settings between the sheet’s first two aims instead')
    .option('--points <number>', 'how many settings of the front (default: 33)')
    .option('--set <name=value>', SET_HELP, collect)
    .option('--out <file>', 'write the map as .svg, .png, .csv or .json')
    .option('--theme <name>', THEME_HELP)
    .option('--json', JSON_HELP)
    .addHelpText('after', '\nExample:\n  loftsheet map heron.loft --across "fuel fraction" --up "throttle cap"')
    .action(async (file: string, options: MapOptions) =>
      ended(await (await import('./map.ts')).map(file, options, shell)),
    )
}

const addCard: Add = (all, shell, ended) => {
  verb(all, 'card', 'the flight card: one page to print with the settings, the margins and the cautions')
    .option('--set <name=value>', SET_HELP, collect)
    .option('--out <file>', 'write the card as .html, or as .pdf where a Chromium is at hand')
    .option('--paper <size>', 'A4 or letter (default: A4)')
    .option('--flight <name>', 'the flight it is of, where there are several (default: the first)')
    .addHelpText('after', '\nExample:\n  loftsheet card heron.loft --out heron.html')
    .action(async (file: string, options: CardOptions) =>
      ended(await (await import('./card.ts')).card(file, options, shell)),
    )
}

const addVariants: Add = (all, shell, ended) => {
  const summary = 'solve every variant of a sheet over all cores, a row each'
  all
    .command('variants')
    .summary(summary)
    .description(`${summary[0]!.toUpperCase()}${summary.slice(1)}.`)
    .usage('FILE [options], or --join PART… [--out FILE]')
    .argument('<file...>', 'the sheet; with --join the parts that shares have written')
    .option(
      '--out <file>',
      'write the rows to a .csv, .ndjson, .parquet or .xlsx file (default: CSV on standard output)',
    )
    .option('--workers <number>', 'how many work at it (default: one a core)')
    .option('--resume', 'go on with a run that was broken off')
    .option('--share <i/n>', 'only every nth variant from the ith on: one machine’s share of n')
    .option('--join', 'put parts that shares have written together again')
    .option('--only <outcome>', 'write only rows of this outcome: solved, conflict, unsure or faulty')
    .option('--rank <name>', 'list the best solved variants by a column, as in "most apoapsis"')
    .option('--set <name=value>', SET_HELP, collect)
    .option('--picture <file>', 'draw how they ended, by two quantities that vary: .svg or .png')
    .option('--across <name>', 'the quantity across the picture (default: the first that varies)')
    .option('--up <name>', 'the quantity up (default: the next)')
    .option('--theme <name>', THEME_HELP)
    .option('--quiet', 'tell nothing on the way')
    .option('--json', JSON_HELP)
    .option('--allow-outside', OUTSIDE_HELP)
    .addHelpText('after', '\nExample:\n  loftsheet variants family.loft --out family.csv --rank "most apoapsis"')
    .action(async (files: readonly string[], options: VariantsOptions) =>
      ended(await solveVariants(files, options, shell)),
    )
}

/** A spreadsheet and a Parquet file are written from rows that were solved before. */
async function solveVariants(files: readonly string[], options: VariantsOptions, shell: Shell): Promise<Status> {
  const { out } = options
  const kind = out === undefined || options.join ? null : wholeKind(out)
  if (out !== undefined && kind !== null) {
    const whole =
      kind === 'spreadsheet'
        ? (await import('./variants-book.ts')).bookOf(out)
        : (await import('./variants-parquet.ts')).parquetOf(out)
    return (await import('./variants-apart.ts')).variantsApart(files, { ...options, out }, shell, whole)
  }
  return (await import('./variants.ts')).variants(files, options, shell)
}

const addPage: Add = (all, shell, ended) => {
  const summary = 'the page in a browser, served to this machine alone, or written as one file'
  all
    .command('page')
    .summary(summary)
    .description(`${summary[0]!.toUpperCase()}${summary.slice(1)}.`)
    .usage('[FILE] [options]')
    .argument('[file]', 'the sheet to begin with (default: the Heron)')
    .option('--out <file>', 'write the page with the sheet and the files it names inside as one .html file')
    .option('--port <number>', 'the port to serve on (default: a free one)')
    .option('--allow-outside', OUTSIDE_HELP)
    .addHelpText('after', '\nExample:\n  loftsheet page heron.loft --out lesson.html')
    .action(async (file: string | undefined, options: PageOptions) =>
      ended(await (await import('./page.ts')).page(file, options, shell)),
    )
}

const addTidy: Add = (all, shell, ended) => {
  verb(all, 'tidy', 'print the sheet in its standard layout; its meaning stays')
    .option('--write', 'put it in the place of the file')
    .addHelpText('after', '\nExample:\n  loftsheet tidy heron.loft --write')
    .action(async (file: string, options: TidyOptions) =>
      ended(await (await import('./tidy.ts')).tidy(file, options, shell)),
    )
}
