import { writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import type { Answer, CheckAnswer, FlightAnswer } from '../../sheets/answer.ts'
import { run } from '../../sheets/command/program.ts'
import type { Outlet, Shell, Status } from '../../sheets/command/shell.ts'
import { openSheet } from '../../sheets/index.ts'
import type { OpenOptions, OpenSheet, Settings, Sheet } from '../../sheets/sheet.ts'
import type { WorkingAnswer, WorkingOptions } from '../../sheets/working.ts'
import { heron } from '../sheets/answers.ts'
import { ownFolder } from '../support/folders.ts'

/** What a run of the command left behind. */
export interface Ran {
  readonly status: Status
  readonly out: string
  readonly messages: string
}

/** What the stand-in for the library is to answer, and what it was asked. */
export interface Library {
  readonly answer?: Answer
  readonly check?: Partial<CheckAnswer>
  readonly flown?: FlightAnswer
  readonly problems?: Sheet['problems']
  readonly tidied?: string
  readonly working?: WorkingAnswer
  readonly fault?: Error
  /** A file that the sheet is to ask for when it is opened. */
  readonly asks?: string
  readonly opened?: {
    text: string
    options: OpenOptions
    set?: Settings
    flight?: string
    asked?: string
    how?: WorkingOptions
    loaded?: string
    refused?: string
  }[]
}

export interface Surroundings {
  readonly folder?: string
  readonly environment?: Readonly<Record<string, string>>
  readonly terminal?: boolean
  readonly columns?: number
  readonly input?: string
}

export const flown: FlightAnswer = {
  outcome: 'comes down',
  figures: { apoapsis: 1200.5 },
  events: [{ name: 'burnout', time: 2, altitude: 300 }],
  history: {
    columns: ['time', 'altitude', 'mach'],
    units: ['s', 'm', ''],
    rows: [
      [0, 0, 0],
      [0.5, 12.25, Number.NaN],
      [1, -1e-7, 0.3],
    ],
  },
}

const working: WorkingAnswer = {
  sheet: 'A sheet',
  name: 'liftoff ratio',
  outcome: 'known',
  middle: false,
  settings: {},
  steps: [],
  targets: [],
  problems: [],
}

/** A shell that nobody looks at, with this library. */
export function quietShell(
  openSheet: OpenSheet,
  [out, messages]: readonly [string[], string[]] = [[], []],
  folder = tmpdir(),
): Shell {
  return {
    out: outlet(out, {}),
    messages: outlet(messages, {}),
    environment: { LANG: 'en_GB.UTF-8' },
    folder,
    input: async () => new Uint8Array(),
    library: async () => ({ openSheet }),
  }
}

/** Runs the command in this process with a library of its own, as a rule the real one. */
export async function ranWith(openSheet: OpenSheet, folder: string, words: readonly string[]): Promise<Ran> {
  const [out, messages]: [string[], string[]] = [[], []]
  const status = await run(words, quietShell(openSheet, [out, messages], folder))
  return { status, out: out.join(''), messages: messages.join('') }
}

/** Runs the command in this process, with a library that answers as it is told to. */
export async function command(
  words: readonly string[],
  library: Library = {},
  around: Surroundings = {},
): Promise<Ran> {
  const [out, messages]: [string[], string[]] = [[], []]
  const shell: Shell = {
    out: outlet(out, around),
    messages: outlet(messages, around),
    environment: { LANG: 'en_GB.UTF-8', ...around.environment },
    folder: around.folder ?? tmpdir(),
    input: async () => new TextEncoder().encode(around.input ?? ''),
    library: async () => ({ openSheet: (text, options = {}) => open(text, options, library) }),
  }
  const status = await run(words, shell)
  return { status, out: out.join(''), messages: messages.join('') }
}

function outlet(kept: string[], around: Surroundings): Outlet {
  const write = (text: string): void => void kept.push(text)
  return { write, send: async text => write(text), terminal: around.terminal ?? false, columns: around.columns }
}

function open(text: string, options: OpenOptions, library: Library): Sheet {
  const asked: NonNullable<Library['opened']>[number] = { text, options }
  library.opened?.push(asked)
  if (library.fault) throw library.fault
  if (library.asks !== undefined) {
    try {
      asked.loaded = options.load!(library.asks)
    } catch (error) {
      asked.refused = (error as Error).message
    }
  }
  return {
    name: options.name ?? 'sheet',
    title: 'A sheet',
    text,
    problems: library.problems ?? [],
    check: () => ({
      problems: library.problems ?? [],
      known: ['dry mass'],
      levers: ['throttle cap'],
      'worked out': ['liftoff ratio'],
      targets: ['liftoff ratio at least 2'],
      'left over': [],
      remarks: [],
      ...library.check,
    }),
    solve: (asking = {}) => {
      if (asking.set) asked.set = asking.set
      return library.answer ?? heron
    },
    at: () => ({}),
    fly: (asking = {}) => {
      if (asking.set) asked.set = asking.set
      if (asking.flight !== undefined) asked.flight = asking.flight
      return library.flown ?? flown
    },
    working: (name, how = {}) => {
      Object.assign(asked, { asked: name, how })
      return library.working ?? working
    },
    front: () => {
      throw new Error('no front stands in')
    },
    map: () => {
      throw new Error('no map stands in')
    },
    variantFiles: [],
    variants: () => {
      throw new Error('no variants stand in')
    },
    outline: () => ({ facts: [], levers: [], targets: [], flights: [], names: [] }),
    tidy: () => library.tidied ?? text,
  }
}

/** A new folder with these files in it. */
export function folderWith(files: Readonly<Record<string, string>>): string {
  const folder = ownFolder('sheets')
  for (const [name, text] of Object.entries(files)) writeFileSync(join(folder, name), text)
  return folder
}

/** Runs the command in this process with the real library. */
export function ranIn(folder: string, ...words: readonly string[]): Promise<Ran> {
  return ranWith(openSheet, folder, words)
}

/** The library, but it breaks off at the nth task. */
export function breaking(at: number): OpenSheet {
  return (text, options) => {
    const sheet = openSheet(text, options)
    return {
      ...sheet,
      variants: request => {
        const variants = sheet.variants(request)
        let tasks = 0
        return {
          ...variants,
          solve: task => {
            if (++tasks === at) throw new Error('broken off')
            return variants.solve(task)
          },
        }
      },
    }
  }
}
