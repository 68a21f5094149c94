import { batch } from '@preact/signals'
import type { Asking, Said } from '../spoken.ts'
import type { Answered, Asked, Told } from '../worker/worker.ts'

/** A worker that gives no part of an answer for so long [ms] is stopped and begun anew where a newer asking makes that answer worthless. */
const PATIENCE = 700

/** The page's end of the line to its worker. */
export interface Desk {
  readonly ask: (asking: Asking) => void
  /** Gives up everything that is under way. */
  readonly stop: () => void
  /** Gives up what is asked of one kind, if anything is. */
  readonly halt: (kind: Asking['kind']) => void
  /** Puts files at the worker's hand, by name. */
  readonly put: (files: Readonly<Record<string, string>>) => void
  readonly busy: () => boolean
}

/** Makes workers by `make`, asks them, and hands on only what is said to the newest asking of each kind. */
export function openDesk(make: () => Worker, hear: (said: Said, asking: Asking) => void): Desk {
  let worker: Worker | null = null
  let count = 0
  let heard = 0
  let files: Readonly<Record<string, string>> = {}
  const open = new Map<Asking['kind'], Asked>()
  /** Where the hand has come meanwhile: asked when the last place it was at is answered, so that a fast hand is followed as well. */
  let next: Asking | null = null

  const start = (): Worker => {
    const begun = make()
    begun.onmessage = ({ data }: MessageEvent<Answered>) => {
      if (data.said.some(({ kind }) => kind !== 'progress')) heard = performance.now()
      for (const [kind, { id, asking }] of open) {
        if (id === data.id) take(kind, asking, data.said)
      }
    }
    begun.onerror = event => {
      event.preventDefault()
      fail(event.message || 'the worker stopped')
    }
    if (Object.keys(files).length > 0) begun.postMessage({ files } satisfies Told)
    return begun
  }
  const take = (kind: Asking['kind'], asking: Asking, said: readonly Said[]): void => {
    const last = said.at(-1)?.kind
    if (last === 'done' || last === 'fault') {
      open.delete(kind)
      if (next && kind === 'sheet') send(next)
    }
    batch(() => {
      for (const each of said) hear(each, asking)
    })
  }
  const send = (asking: Asking): void => {
    if (asking.kind === 'sheet') next = null
    const asked: Asked = { id: ++count, asking }
    open.set(asking.kind, asked)
    worker ??= start()
    worker.postMessage(asked satisfies Told)
  }
  const fail = (message: string): void => {
    const lost = [...open.values()]
    quit()
    for (const { asking } of lost) hear({ kind: 'fault', message }, asking)
  }
  const quit = (): void => {
    worker?.terminate()
    worker = null
    next = null
    open.clear()
  }
  return {
    ask: asking => {
      const before = open.get(asking.kind)?.asking
      if (isMoving(asking) && before && isMoving(before)) {
        next = asking
        return
      }
      const urgent = asking.kind === 'sheet' || before !== undefined
      if (open.size > 0 && urgent && performance.now() - heard > PATIENCE) {
        const others = [...open.values()].filter(each => each.asking.kind !== asking.kind)
        quit()
        worker = start()
        heard = performance.now()
        for (const each of others) {
          open.set(each.asking.kind, each)
          worker.postMessage(each satisfies Told)
        }
      }
      if (open.size === 0) heard = performance.now()
      send(asking)
    },
    stop: quit,
    halt: kind => {
      const asked = open.get(kind)
      if (!asked) return
      open.delete(kind)
      if (kind === 'sheet') next = null
      worker?.postMessage({ halt: asked.id } satisfies Told)
    },
    put: given => {
      files = given
      worker?.postMessage({ files } satisfies Told)
    },
    busy: () => open.size > 0,
  }
}

function isMoving(asking: Asking): boolean {
  return asking.kind === 'sheet' && asking.moving !== null
}
