import { readFileSync } from 'node:fs'
import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { parse } from '../../grammar/index.ts'
import type { Answer } from '../../sheets/answer.ts'
import { openSheet } from '../../sheets/index.ts'
import type { OutlineValue } from '../../sheets/outline.ts'
import { MOST_BESIDE, takenIn } from '../../sheets/page/files-beside.ts'
import type { AnswerSaid, Asking, Said, TargetView } from '../../sheets/page/spoken.ts'
import { draftFrom, opened, written } from '../../sheets/page/state/draft.ts'
import { begun, changed, redone, undone } from '../../sheets/page/state/history.ts'
import { linkedOf, linkTo, MOST_LETTERS } from '../../sheets/page/state/link.ts'
import { difference, edited, followed, plainNumber, stepBelow } from '../../sheets/page/text/edit.ts'
import { mendEdits } from '../../sheets/page/text/mend.ts'
import { onStanding } from '../../sheets/page/view/standing.ts'
import { type Desk, newDesk } from '../../sheets/page/worker/desk.ts'
import { laterJob } from '../../sheets/page/worker/later-jobs.ts'
import { answerSheet } from '../../sheets/page/worker/sheet-job.ts'
import { picturesSaid } from '../../sheets/page/worker/sheet-pictures.ts'

const heron = readFileSync('sheets/examples/heron.loft', 'utf8')

function said(text: string, more: Partial<Extract<Asking, { kind: 'sheet' }>> = {}): Said[] {
  const desk = newDesk()
  const plain = {
    kind: 'sheet',
    text,
    set: {},
    moving: null,
    map: null,
    width: 1000,
    units: 'sheet',
    flight: null,
  } as const
  return saidTo(desk, { ...plain, ...more })
}

/** All that is said to a sheet: its answer, then what comes behind it. */
function saidTo(desk: Desk, asking: Extract<Asking, { kind: 'sheet' }>): Said[] {
  const job = answerSheet(desk, asking)
  const answer = job.next().value as Said
  const answered = job.next().value as Answer | null
  return [answer, ...(answered ? picturesSaid(desk, asking, answered) : [])]
}

/** The answer that is said, which comes first. */
function viewOf(all: readonly Said[]): AnswerSaid {
  const first = all[0]!
  if (first.kind !== 'answer') throw new Error('the answer comes first')
  return first.view
}

describe('where everything stands in the text', () => {
  const examples = ['heron', 'crewed-hop', 'two-stages', 'range-limit', 'small-world', 'calibration', 'two-sites']
  const texts = examples.map(name => readFileSync(`sheets/examples/${name}.loft`, 'utf8'))
  const shapes: readonly ((text: string) => string)[] = [
    text => text,
    text => text.replaceAll('\n', '\r\n'),
    text => `\ufeff${text}`,
    text => text.replaceAll('\n', '\r'),
  ]

  test('each value is the very words of its declaration, whatever ends the lines', () => {
    let seen = 0
    for (const text of texts)
      for (const shape of shapes) {
        const shaped = shape(text)
        const { facts, levers, targets } = openSheet(shaped, { load: () => '' }).outline()
        const check = (value: OutlineValue, line: number): void => {
          const [from, to] = value.at
          expect(shaped.slice(from, to)).toBe(value.text)
          expect(shaped.slice(0, from).split(/\r\n|\r|\n/)).toHaveLength(line)
          seen++
        }
        for (const fact of facts) check(fact.value, fact.line)
        for (const lever of levers) for (const end of [lever.from, lever.to]) check(end, lever.line)
        for (const target of targets) for (const { value } of target.limits) check(value, target.line)
      }
    expect(seen).toBeGreaterThan(200)
  })

  test('a value written over is the only thing that changes', () => {
    for (const text of texts) {
      const { facts } = openSheet(text, { load: () => '' }).outline()
      for (const { name, value } of facts) {
        const after = edited(text, { at: value.at, with: '7 kg' })
        const fact = parse(after).statements.find(each => each.kind === 'fact' && each.name.text === name)
        expect(fact?.kind === 'fact' && fact.value.kind === 'number' && fact.value.text).toBe('7')
        expect(after.split('\n').filter((line, k) => line !== text.split('\n')[k])).toHaveLength(1)
      }
    }
  })
})

test('the smallest difference between two texts makes the one of the other', () => {
  const texts = fc.tuple(fc.string(), fc.string(), fc.string(), fc.string())
  fc.assert(
    fc.property(texts, ([head, old, fresh, tail]) => {
      const [before, after] = [head + old + tail, head + fresh + tail]
      const edit = difference(before, after)
      expect(edit === null).toBe(before === after)
      if (edit === null) return
      expect(edited(before, edit)).toBe(after)
      expect(edit.at[1] - edit.at[0] + edit.with.length).toBeLessThanOrEqual(old.length + fresh.length)
    }),
  )
})

test('a place in a text is found again in what came of it by one edit, or of several in other lines', () => {
  const before = 'fact a = 165 kg # dry\nmust ratio at least 2'
  const at = (words: string): [number, number] => [before.indexOf(words), before.indexOf(words) + words.length]
  const found = (words: string, after: string): string | null => {
    const place = followed(at(words), before, after)
    return place && after.slice(...place)
  }
  expect(found('165 kg', before)).toBe('165 kg')
  expect(found('165 kg', `# a line before\n${before}`)).toBe('165 kg')
  expect(found('165 kg', `${before}\n# a line behind`)).toBe('165 kg')
  // Another number, longer or shorter, at either end of it or within.
  for (const number of ['64.75', '1165', '16', '5', '170.25', '1e3']) {
    expect(found('165 kg', before.replace('165', number))).toBe(`${number} kg`)
    expect(found('2', before.replace(/2$/, number))).toBe(number)
  }
  expect(found('2', before.replace(/2$/, '2.05'))).toBe('2.05')
  // A word of its own behind a limit is no part of it; nor is what was written over it.
  expect(found('2', `${before} # at the pad`)).toBe('2')
  expect(found('165 kg', before.replace('5 kg #', '5 lb #'))).toBe(null)
  expect(found('165 kg', before.replace('165 kg # dry', 'b'))).toBe(null)
  // Several edits, one of them of the number itself; then of a line that is written twice.
  expect(found('165 kg', `# before\n${before.replace('165', '170.5')}.5`)).toBe('170.5 kg')
  expect(found('165 kg', `# before\n${before.replace('# dry', '# wet')}.5`)).toBe(null)
  expect(found('2', `# before\n${before}\nmust q at least 3`)).toBe('2')
  expect(found('2', `#\n${before.replace('165', '166')}.5\nmust ratio at least 3`)).toBe(null)
})

test('a number that a hand gives is read back to its grain', () => {
  fc.assert(
    fc.property(fc.double({ min: -1e6, max: 1e6, noNaN: true }), fc.integer({ min: -6, max: 5 }), (value, power) => {
      const grain = 10 ** power
      const number = plainNumber(value, grain)
      expect(Math.abs(Number(number) - value)).toBeLessThanOrEqual(0.5 * Math.min(1, grain) * (1 + 1e-6))
      expect(number).not.toMatch(/e/)
    }),
  )
  expect([0.12, 1.4, 2.2, 70, 6].map(stepBelow)).toEqual([0.1, 1, 2, 50, 5])
})

test('undo and redo walk one history; a gesture that goes on is one step', () => {
  const draft = (text: string) => opened(text)
  const states = fc.array(fc.tuple(fc.string(), fc.constantFrom(null, 'typing', 'hand 1'), fc.nat(3000)), {
    maxLength: 20,
  })
  fc.assert(
    fc.property(states, all => {
      let time = 0
      let history = begun(draft('first'))
      for (const [text, tag, pause] of all) {
        time += pause
        history = changed(history, draft(text), tag, time)
      }
      const last = history.now
      let steps = 0
      while (history.past.length > 0) {
        history = undone(history)
        steps++
      }
      expect(history.now.text).toBe('first')
      for (let k = 0; k < steps; k++) history = redone(history)
      expect(history.now).toEqual(last)
      expect(steps).toBeLessThanOrEqual(all.length)
    }),
  )
  let typing = begun(draft(''))
  for (const [k, text] of ['a', 'ab', 'abc'].entries()) typing = changed(typing, draft(text), 'typing', 100 * k)
  expect(undone(typing).now.text).toBe('')
})

test('a gesture that ends where it began leaves nothing to be taken back', () => {
  const draft = (text: string) => opened(text)
  const first = changed(begun(draft('a')), draft('b'), null, 0)
  const back = ['c', 'd', 'b'].reduce((history, text) => changed(history, draft(text), 'hand 1', 0), first)
  expect(undone(back).now).toEqual(draft('a'))
  // The hand may go on from there.
  expect(undone(changed(back, draft('e'), 'hand 1', 0)).now).toEqual(draft('b'))
})

test('a link gives back the sheet and its pins, and nothing else of what it is given', () => {
  const pins = fc.dictionary(fc.string({ minLength: 1 }), fc.double({ noNaN: true, noDefaultInfinity: true }), {
    maxKeys: 4,
  })
  fc.assert(
    fc.property(fc.string({ unit: 'grapheme', maxLength: 300 }), pins, (text, held) => {
      const back = linkedOf(`#${linkTo({ ...opened(text), pins: held }, {}).fragment}`)?.draft
      expect(back?.text).toBe(text)
      for (const [name, value] of Object.entries(held)) expect(back?.pins[name]).toBeCloseTo(value, 12)
    }),
  )
  fc.assert(
    fc.property(fc.string(), words => {
      expect(() => linkedOf(`#sheet=${words}`)).not.toThrow()
    }),
  )
  expect(linkedOf('')).toBeNull()
})

test('a sheet is sent and kept with the line ends that it was opened with, as most of them were', () => {
  for (const [ends, most] of [
    [['\r\n', '\r\n', '\r\n'], '\r\n'],
    [['\n', '\r\n', '\r\n'], '\r\n'],
    [['\n', '\n', '\r\n'], '\n'],
    [['\r', '\r', '\r'], '\n'],
    [['', '', ''], '\n'],
  ] as const) {
    const text = ['fact a = 1', 'fact b = 2', 'fact c = 3'].map((line, k) => `${line}${ends[k]}`).join('')
    const draft = opened(text)
    expect(draft.text).toBe(text.replace(/\r\n?/g, '\n'))
    expect(written(draft)).toBe(draft.text.replaceAll('\n', most))
    expect(linkedOf(linkTo(draft, {}).fragment)?.draft).toEqual(draft)
    expect(draftFrom([written(draft), {}])).toEqual(draft)
    // A line more ends as the others do.
    expect(written({ ...draft, text: `${draft.text}#\n` }).endsWith(`#${most}`)).toBe(true)
  }
})

test('a link carries the files of a sheet while it stays short, whatever is in them', () => {
  const draft = opened('table drag of mach from "drag.csv"\n')
  const names = fc.oneof(fc.string(), fc.constantFrom('__proto__', 'constructor', '</script>', 'a/b.csv'))
  fc.assert(
    fc.property(fc.array(fc.tuple(names, fc.string({ unit: 'binary', maxLength: 200 })), { maxLength: 4 }), entries => {
      const files = Object.fromEntries(entries)
      const link = linkTo(draft, files)
      expect(link.without).toBeNull()
      const back = linkedOf(link.fragment)
      expect(back?.draft).toEqual(draft)
      expect(Object.entries(back!.files)).toEqual(Object.entries(files))
    }),
  )
  // Numbers that do not repeat, so that packing gains little.
  const long = Array.from({ length: 9000 }, (_, k) => `${k},${Math.sin(k)}`).join('\n')
  const { fragment, without } = linkTo(draft, { 'drag.csv': long })
  expect(without).toMatchObject({ most: MOST_LETTERS })
  expect((without as { letters: number }).letters).toBeGreaterThan(MOST_LETTERS)
  expect(linkedOf(fragment)).toEqual({ draft, files: {} })
  // Packed it is short, and yet more than a page unpacks.
  expect(linkTo(draft, { 'drag.csv': '0,0\n'.repeat(900_000) })).toEqual({ fragment, without: 'unpacked' })
})

test('files that come with a sheet take their names, and what stood there under them is kept under others', () => {
  const here = { 'drag.csv': 'mine', 'same.csv': 'both', 'drag-before.csv': 'older' }
  const taken = takenIn(here, { 'drag.csv': 'sent', 'same.csv': 'both', 'new.csv': 'n', bare: 'b' })
  expect(taken.files).toEqual({ ...here, 'drag.csv': 'sent', 'new.csv': 'n', bare: 'b', 'drag-before-2.csv': 'mine' })
  expect(taken.moved).toEqual([['drag.csv', 'drag-before-2.csv']])
  const large = 'x'.repeat(MOST_BESIDE - 2)
  expect(takenIn({ 'a.csv': large }, { 'a.csv': 'sent' })).toEqual({
    files: { 'a.csv': 'sent' },
    moved: [['a.csv', null]],
  })
  expect(takenIn({ a: 'mine' }, { a: 'sent' }).files).toEqual({ a: 'sent', 'a-before': 'mine' })
})

test('a mend changes only the end of the limit that moves', () => {
  const text = heron.replace('should apoapsis', 'must   apoapsis')
  const target = openSheet(text)
    .outline()
    .targets.find(each => each.text.startsWith('apoapsis'))!
  const edits = mendEdits(target, 'apoapsis within 75.1 km to 110 km')
  expect(edits).toHaveLength(1)
  expect(edited(text, ...edits)).toBe(text.replace('within   100 km to', 'within   75.1 km to'))
})

describe('what the worker says', () => {
  test('the answer first, then flight, map, why and the fine map', () => {
    expect(said(heron).map(each => each.kind)).toEqual(['answer', 'flight', 'map', 'why', 'map'])
    const drawn = (map: boolean, flight: boolean) =>
      said(heron, { moving: { map, flight, figures: true, placed: true } }).map(each => each.kind)
    expect(drawn(true, true)).toEqual(['answer', 'flight', 'map'])
    expect(drawn(true, false)).toEqual(['answer', 'map'])
    expect(drawn(false, false)).toEqual(['answer'])
  })

  test('while a hand moves, neither what the page knows of the text nor figures out of sight are said, and the rest is the same', () => {
    const still = viewOf(said(heron))
    expect(still.outline!.names).toContain('apoapsis')
    for (const figures of [true, false])
      for (const placed of [true, false]) {
        const moving = viewOf(said(heron, { moving: { map: true, flight: true, figures, placed } }))
        const { work } = moving
        const silent = { figures: figures ? still.figures : null, outline: placed ? null : still.outline }
        expect(moving).toEqual({ ...still, work, ...silent })
      }
  })

  test('on a scale that stands still a limit and the mark are where their values lie, what is forbidden reaches to its end', () => {
    const peak = (limit: string): TargetView =>
      viewOf(said(heron.replace('at most  6 g0', `at most ${limit} g0`))).targets.find(
        each => each.subject === 'peak g',
      )!
    const standing = peak('6')
    const share = (si: number): number => (si - standing.span[0]) / (standing.span[1] - standing.span[0])
    for (const limit of ['6', '5.5', '5.9', '6.4', '7']) {
      const { scale, limits, ticks, span, value } = onStanding(peak(limit), standing)
      expect([ticks, span]).toEqual([standing.ticks, standing.span])
      // ISO 80000-3:2019: g0 = 9.80665 m/s², exact.
      expect(scale.ticks[0]).toBeCloseTo(share(9.80665 * Number(limit)), 9)
      expect(limits[0]!.at).toBe(scale.ticks[0])
      expect(scale.forbidden).toEqual([[scale.ticks[0], 1]])
      expect(scale.mark).toBeCloseTo(share(9.80665 * Number.parseFloat(value)), 3)
      expect([...scale.room!].sort()).toEqual([scale.mark, scale.ticks[0]].sort())
    }
    // Beyond the end nothing is left to forbid, and the mark is where it was.
    const far = onStanding(peak('12'), standing)
    expect([far.scale.ticks, far.scale.forbidden, far.scale.beyond]).toEqual([[1], [], null])
    const low = onStanding(peak('6'), { span: [0, 9.80665], ticks: [] })
    expect([low.scale.mark, low.scale.beyond]).toEqual([1, 'right'])
    // The other way: a limit below what a standing scale begins with forbids all of it.
    expect(onStanding(peak('6'), { span: [70, 90], ticks: [] }).scale.forbidden).toEqual([[0, 1]])
  })

  test('a conflict is told before its reasons as far as it has been seen by then', () => {
    const plain = { kind: 'sheet', moving: null, map: null, width: 1000, units: 'sheet', flight: null } as const
    const verdict = (text: string, set: Readonly<Record<string, number>> = {}) =>
      viewOf([answerSheet(newDesk(), { ...plain, text, set }).next().value as Said]).verdict
    const high = heron.replace('liftoff ratio at least 2', 'liftoff ratio at least 20')
    expect(verdict(high)).toBe('Conflict: no setting was found that meets every must.')
    const held = { 'fuel fraction': 0.92, 'throttle cap': 0.61 }
    expect(verdict(high, held)).toBe('Conflict: the pinned settings do not meet every must.')
    expect(verdict('fact a = 1\nmust a at least 2')).toBe('Conflict: the sheet as it stands does not meet the must.')
    expect(verdict('lever a from 0 to 1\nmust a at least 2')).toBe(
      'Conflict: no setting was found that meets the must.',
    )
  })

  test('a hand on the levers of the map leaves the map as it is', () => {
    const desk = newDesk()
    const asking = {
      kind: 'sheet',
      text: heron,
      width: 900,
      units: 'sheet',
      moving: { map: true, flight: true, figures: true, placed: true },
      flight: null,
    } as const
    const move = (share: number, map: number | null): Said[] =>
      saidTo(desk, { ...asking, set: { 'fuel fraction': share, 'throttle cap': 0.6 }, map })
    const first = move(0.8, null)
    expect(first.map(each => each.kind)).toEqual(['answer', 'flight', 'map'])
    const drawn = first.at(-1)!
    const stamp = drawn.kind === 'map' ? drawn.drawn!.stamp : null
    expect(move(0.81, stamp).map(each => each.kind)).toEqual(['answer', 'flight'])
    // The page did not take the map last drawn, since it had asked for something newer by then.
    expect(move(0.82, null).map(each => each.kind)).toEqual(['answer', 'flight', 'map'])
  })

  test('values are told in customary units by the exact factors', () => {
    const { targets, figures, load } = viewOf(said(heron, { units: 'customary' }))
    const plain = viewOf(said(heron))
    const figure = (view: AnswerSaid, name: string): string => view.figures!.find(each => each.name === name)!.text
    // NIST SP 811 (2008), appendix B.8: 1 mi = 1609.344 m, 1 ft = 0.3048 m, 1 lb = 0.45359237 kg, exact.
    expect(figures!.find(each => each.name === 'apoapsis')!.text).toBe('62.19 mi')
    expect(Number.parseFloat(figure(plain, 'apoapsis')) / 1.609344).toBeCloseTo(62.2, 1)
    expect(Number.parseFloat(load!.number)).toBeCloseTo(276 / 0.45359237, 0)
    expect(load!.unit).toBe('lb')
    const q = targets.find(each => each.subject === 'max q')!
    // 1 psi = 6894.757 Pa (NIST SP 811, appendix B.8).
    expect(q.limits[0]!.words).toBe('at most 10.15 psi')
    expect(Number.parseFloat(q.value) * 6.894757).toBeCloseTo(59.28, 0)
    // The place that a hand writes to keeps the sheet's own unit.
    expect(q.limits[0]!.place!.unit.text).toBe('kPa')
    expect(targets.find(each => each.subject === 'peak g')!.value).toMatch(/ g0$/)
  })

  test('every scale stands within its width, ticks on their values', () => {
    for (const { ticks, span, scale } of viewOf(said(heron)).targets) {
      expect(ticks.length).toBeGreaterThan(3)
      for (const { at } of ticks) expect(at).toBeGreaterThanOrEqual(-1e-9)
      for (const { at } of ticks) expect(at).toBeLessThanOrEqual(1 + 1e-9)
      expect(span[1]).toBeGreaterThan(span[0])
      expect(scale.mark).not.toBeNull()
    }
  })

  test('what is wrong comes with the edit that mends it, tried on the sheet', () => {
    const wrong = heron.replace('max q ', 'max qq ')
    const { problems, outcome } = viewOf(said(wrong))
    expect(outcome).toBe('faulty')
    expect(problems).toHaveLength(1)
    const { edit } = problems[0]!
    expect(openSheet(edited(wrong, edit!)).problems).toEqual([])
  })
})

describe('the variants of a page', () => {
  const text = `${heron}\nvariants\n  each dry mass from 150 kg to 170 kg in steps of 4 kg\n`
  const plain = { kind: 'variants', text, set: {}, most: null, across: null, up: null, width: 600 } as const
  const views = (desk = newDesk(), more: { readonly most?: number } = {}) =>
    [...laterJob(desk, { ...plain, ...more })].flatMap(each => (each.kind === 'variants' ? [each.view] : []))

  test('come some at a time, the picture with the last', () => {
    const all = views()
    expect(all.flatMap(({ rows }) => rows.map(({ cells }) => cells[1]))).toEqual([150, 154, 158, 162, 166, 170])
    expect(all.map(({ done }) => done)).toEqual([false, true])
    expect(all.at(-1)!.axes).toEqual({ across: 'dry mass', up: null })
    expect(all.at(-1)!.drawn!.svg).toContain('dry mass, kg')
    expect(all.at(-1)!.drawn!.svg).not.toMatch(/NaN|undefined/)
  })

  test('wait where there are more than were asked for, and are not solved twice', () => {
    expect(views(newDesk(), { most: 5 })).toMatchObject([{ waits: true, total: 6, rows: [] }])
    const desk = newDesk()
    const first = views(desk).flatMap(({ rows }) => rows)
    const again = views(desk)
    expect(again).toHaveLength(1)
    expect(again[0]!.rows).toEqual(first)
  })
})
