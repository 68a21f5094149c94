import { describe, expect, test, vi } from 'vitest'
import type { Asking, Said } from '../../sheets/page/spoken.ts'
import { openDesk } from '../../sheets/page/state/desk.ts'
import type { Told } from '../../sheets/page/worker/worker.ts'

/** Workers that do nothing of themselves: what they are told is kept, what they say is said for them. */
function staged() {
  const workers: { readonly told: Told[]; readonly say: (id: number, ...said: Said[]) => void; ended: boolean }[] = []
  const make = (): Worker => {
    const worker = {
      onmessage: (_: unknown): void => {},
      onerror: (): void => {},
      postMessage: (each: Told) => mine.told.push(each),
      terminate: () => {
        mine.ended = true
      },
    }
    const mine = {
      told: [] as Told[],
      say: (id: number, ...said: Said[]): void => worker.onmessage({ data: { id, said } }),
      ended: false,
    }
    workers.push(mine)
    return worker as unknown as Worker
  }
  return { workers, make }
}

function sheet(text: string, hand = false): Asking {
  const moving = hand ? { map: true, flight: true, figures: true, placed: true } : null
  return { kind: 'sheet', text, set: {}, moving, map: null, width: 1000, units: 'sheet', flight: null }
}

/** The texts that a worker was asked for, in order. */
function texts(told: readonly Told[]): readonly string[] {
  return told.flatMap(each => ('asking' in each && each.asking.kind === 'sheet' ? [each.asking.text] : []))
}

describe('the line to the worker', () => {
  test('a hand that moves is asked for where it has come to when its last place is answered, and for nothing between', () => {
    const { workers, make } = staged()
    const heard: string[] = []
    const desk = openDesk(make, (said, asking) => {
      heard.push(`${said.kind} ${asking.kind === 'sheet' ? asking.text : ''}`)
    })
    for (const place of ['a', 'b', 'c']) desk.ask(sheet(place, true))
    expect(texts(workers[0]!.told)).toEqual(['a'])
    workers[0]!.say(1, { kind: 'done' })
    expect(texts(workers[0]!.told)).toEqual(['a', 'c'])
    // Let go: what was asked for the hand is of no use any more, and what is said to it is not heard.
    desk.ask(sheet('d', true))
    desk.ask(sheet('e'))
    workers[0]!.say(2, { kind: 'done' })
    expect(texts(workers[0]!.told)).toEqual(['a', 'c', 'e'])
    expect(heard).toEqual(['done a'])
  })

  test('a search that tells its progress and nothing else gives way to a newer asking, not to a hand that goes on', () => {
    vi.useFakeTimers({ toFake: ['performance'] })
    try {
      const { workers, make } = staged()
      const desk = openDesk(make, () => {})
      const search = (id: number, from: number): void => {
        for (let k = 0; k < 10; k++) {
          vi.advanceTimersByTime(200)
          workers[from]!.say(id, { kind: 'progress', flights: 100 * k })
        }
      }
      desk.ask(sheet('long', true))
      search(1, 0)
      desk.ask(sheet('long still', true))
      // What hangs on the answer waits for it.
      desk.ask({ kind: 'working', text: 'long', set: {}, name: 'a', target: null, again: false, width: 72 })
      expect(workers.map(({ ended }) => ended)).toEqual([false])
      desk.ask(sheet('other'))
      expect(workers.map(({ ended }) => ended)).toEqual([true, false])
      expect(texts(workers[1]!.told)).toEqual(['other'])
      // Typing on does not stop the new one before it has had its time.
      vi.advanceTimersByTime(300)
      desk.ask(sheet('another'))
      expect(workers).toHaveLength(2)
    } finally {
      vi.useRealTimers()
    }
  })
})
