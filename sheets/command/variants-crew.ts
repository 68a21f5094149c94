import { availableParallelism } from 'node:os'
import { setFlagsFromString } from 'node:v8'
import { Piscina } from 'piscina'
import type { Variants, VariantTask } from '../variants/answer.ts'
import type { BatchWishes } from '../variants/batch.ts'
import { type Done, timed } from './variants-pace.ts'

/** What a worker opens the sheet from. */
export interface Opening {
  readonly text: string
  readonly name: string
  /** The files that the sheet's tables name, as read. */
  readonly texts: Readonly<Record<string, string>>
  readonly set: Readonly<Record<string, string>>
  readonly heads: readonly (readonly string[] | null)[]
}

/** Those who solve: each task by one of them, in any order. */
export interface Crew {
  readonly hands: number
  readonly solve: (task: VariantTask) => Promise<Done>
  readonly end: () => Promise<void>
}

/** What a worker starts with. */
export interface WorkerStart {
  readonly opening: Opening
  readonly wishes: BatchWishes
}

/**
 * Room for a worker [MB]: left to itself it lets garbage lie until it holds some 100 MB, and is no faster for it; clearing up too often
 * costs some 4 % of the time. A large sheet, of `characters` with its tables, needs more than a small one: the bound only says when to clear up.
 */
function roomFor(characters: number) {
  return { maxYoungGenerationSizeMb: 24, maxOldGenerationSizeMb: 256 + Math.ceil(characters / 1000) }
}

/** One in this very process, which looks up between tasks; or a pool of workers. */
export function crewOf(hands: number, opening: Opening, variants: Variants, wishes: BatchWishes): Crew {
  if (hands === 1)
    return {
      hands,
      solve: async task => {
        await new Promise(resolve => setImmediate(resolve))
        return timed(variants, task, wishes)
      },
      end: async () => {},
    }
  // Where every core has a worker, helpers of one's clearing up would only take another's time.
  if (hands >= availableParallelism()) setFlagsFromString('--no-parallel-scavenge')
  const workerData: WorkerStart = { opening, wishes }
  const pool = new Piscina({
    ...worker(import.meta.url),
    minThreads: hands,
    maxThreads: hands,
    // The next one lies ready, so that nobody waits for this process to hear that one is done.
    concurrentTasksPerWorker: 2,
    resourceLimits: roomFor(charactersOf(opening)),
    workerData,
  })
  return {
    hands,
    solve: task => pool.run(task),
    end: () => {
      // Broken off, a worker may still hand in what nobody waits for any more: the pool calls that an error.
      pool.on('error', () => {})
      return pool.destroy()
    },
  }
}

function charactersOf({ text, texts }: Opening): number {
  return Object.values(texts).reduce((sum, each) => sum + each.length, text.length)
}

/** The worker's file beside this one, as built or as written. */
function worker(here: string): { readonly filename: string; readonly execArgv?: string[] } {
  const written = here.endsWith('.ts')
  const name = `./variants-worker.${written ? 'ts' : 'cjs'}`
  return {
    filename: new URL(name, here).href,
    ...(written ? { execArgv: ['--import', 'ts-blank-space/register'] } : {}),
  }
}
