import { readdirSync, readFileSync } from 'node:fs'
import { Resvg } from '@resvg/resvg-js'
import { describe, expect, test } from 'vitest'
import { openSheet } from '../../sheets/index.ts'
import { flightPicture, type Picture } from '../../sheets/picture/flight-picture.ts'
import { frontPicture } from '../../sheets/picture/front-picture.ts'
import { hatchAlong } from '../../sheets/picture/hatch.ts'
import { meet, movedApart, widthOfWords } from '../../sheets/picture/label.ts'
import { detailOf, detailPicture } from '../../sheets/picture/map-detail.ts'
import { mapPicture } from '../../sheets/picture/map-picture.ts'
import { escaped } from '../../sheets/picture/svg.ts'
import { PAPER, SLATE, THEMES } from '../../sheets/picture/theme.ts'
import { variantsPicture } from '../../sheets/picture/variants-picture.ts'
import { Tally } from '../../sheets/variants/tally.ts'

const folder = 'sheets/examples'
const heron = readFileSync(`${folder}/heron.loft`, 'utf8')
const hard = heron.replace('6 g0', '5 g0').replace('should apoapsis', 'must   apoapsis')
const texts = new Map(
  readdirSync(folder)
    .filter(file => file.endsWith('.loft'))
    .map(file => [file, readFileSync(`${folder}/${file}`, 'utf8')]),
)
texts.set('conflict', hard)
texts.set('long names', heron.replaceAll('fuel fraction', 'a share of the whole load of the tanks that is filled'))

function flightOf(text: string, theme = PAPER, sheet = openSheet(text)): Picture | null {
  const answer = sheet.solve()
  const [flight] = Object.keys(answer.flights)
  if (flight === undefined || answer.outcome !== 'solved') return null
  return flightPicture({
    title: answer.sheet,
    settings: 'As solved.',
    flight: sheet.fly({ flight }),
    targets: answer.targets,
    theme,
  })
}

/** Some that meet every target, some that meet the musts alone, some that meet neither. */
const family = `sheet "Tanks"
fact wall = 2 kg
fact ullage = 3 %
lever fill from 50 % to 100 % in steps of 10 %
figure load = fill * (1 - ullage) * 10 kg
must load at least 6 kg
should wall / load at most 40 %
aim least load
variants
  each wall from 1 kg to 4 kg in steps of 0.25 kg
  each ullage from 5 % to 55 % in steps of 5 %
`

function variantsOf(text: string): Picture {
  const { columns, blocks, sheet, solve } = openSheet(text).variants()
  const [across, up] = columns.flatMap(({ role }, place) => (role === 'varied' ? [place] : [])) as [number, number]
  const tally = new Tally(columns, { cross: [across, up] })
  const work = { from: 0, count: blocks[0]!.count! }
  for (const row of solve({ block: 0, first: 1, stride: 1, work })) tally.take(row)
  return variantsPicture({ sheet, columns, tally: tally.state, across, up, theme: PAPER })
}

function mapOf(text: string, theme = PAPER, sheet = openSheet(text)): Picture | null {
  const map = sheet.map()
  return map.outcome === 'faulty' ? null : mapPicture({ map, answer: sheet.solve(), theme, source: 'sheet.loft' })
}

/** The Heron with two aims, its front the more. */
const traded = heron
  .replace(/^aim .*$/m, 'aim    least propellant mass\naim    most apoapsis')
  .replace(/should apoapsis .*/, 'must   apoapsis      at least 60 km')

function frontOf(text: string, theme = PAPER): Picture {
  return frontPicture({ front: openSheet(text).front(), theme, source: 'sheet.loft' })
}

/** Labels that stand outside their picture, or on another one. */
function misplaced({ labels, width, height }: Picture): unknown[] {
  return labels.flatMap((box, k) => {
    const outside = !(box.x >= 0 && box.y >= 0 && box.x + box.width <= width && box.y + box.height <= height)
    return [
      ...(outside ? [box] : []),
      ...labels.slice(k + 1).flatMap(other => (meet(box, other) ? [[box, other]] : [])),
    ]
  })
}

/** Lines between the first and the last of a picture that are not one element each: a page renews them one by one. */
function notOne({ svg }: Picture): string[] {
  return svg
    .trimEnd()
    .split('\n')
    .slice(1, -1)
    .filter(line => {
      let depth = 0
      let elements = 0
      for (const [tag] of line.matchAll(/<[^>]*>/g)) {
        if (tag.startsWith('</')) depth--
        else if (depth === 0) elements++
        if (!tag.startsWith('</') && !tag.endsWith('/>')) depth++
      }
      return elements !== 1 || depth !== 0 || !line.startsWith('<')
    })
}

/** Maps of whole flights of many levers take longer than a test may. */
const SLOW = ['crewed-hop.loft']

describe.each([...texts].filter(([name]) => name !== 'two-stages.loft'))('the pictures of %s', (name, text) => {
  test('have labels that stand inside the picture and never on one another', () => {
    // Solved once for both.
    const sheet = openSheet(text)
    for (const picture of [flightOf(text, PAPER, sheet), SLOW.includes(name) ? null : mapOf(text, PAPER, sheet)]) {
      if (!picture) continue
      expect(misplaced(picture)).toEqual([])
      expect(picture.svg).not.toMatch(/NaN|Infinity|undefined/)
      expect(notOne(picture)).toEqual([])
    }
  })
})

test('the front names its knee and its ends, and no label stands on another', () => {
  const straight = 'lever x from 0 m to 9 m\nfigure y = 9 m - x\naim least x\naim least y\n'
  const single = 'lever x from 1 m to 9 m in steps of 1 m\nfigure y = x * 2\naim least x\naim least y\n'
  for (const text of [
    traded,
    traded.replaceAll('fuel fraction', 'a rather long name for the share'),
    straight,
    single,
  ]) {
    const picture = frontOf(text)
    expect(misplaced(picture)).toEqual([])
    expect(picture.svg).not.toMatch(/NaN|Infinity|undefined/)
  }
  const { svg } = frontOf(traded)
  expect(svg).toMatch(/knee: beyond here each 1 km costs 1\.\d+ kg/)
  expect(svg).toContain('fuel fraction 82 %, throttle cap 61 %')
  expect(svg).toContain('219 kg, 60.55 km')
})

/** A picture without its words, as brightness 0…9 on a grid of squares: what stays the same whatever fonts a machine has. */
function brightness({ svg }: Picture, columns: number): number[][] {
  const bare = svg.replace(/<text[^>]*>[^<]*<\/text>/g, '')
  const image = new Resvg(bare, { fitTo: { mode: 'width', value: columns * 8 } }).render()
  // Taken once: each look at `pixels` copies all of them.
  const { width, height, pixels } = image
  const rows = Math.floor(height / 8)
  return Array.from({ length: rows }, (_, row) =>
    Array.from({ length: columns }, (_, column) => {
      let sum = 0
      for (let y = 0; y < 8; y++)
        for (let x = 0; x < 8; x++) {
          const at = ((row * 8 + y) * width + column * 8 + x) * 4
          sum += pixels[at]! + pixels[at + 1]! + pixels[at + 2]!
        }
      return Math.round((9 * sum) / (64 * 3 * 255))
    }),
  )
}

/** Levels of brightness a square, over the whole picture: a curve that is gone is more. */
const TOLERANCE = 0.02

test.each([
  ['flight', () => flightOf(heron)!, 80],
  ['flight', () => flightOf(heron)!, 44],
  ['map', () => mapOf(heron)!, 80],
  ['map', () => mapOf(heron)!, 44],
  ['conflict map', () => mapOf(hard)!, 80],
  ['front', () => frontOf(traded), 80],
  ['front', () => frontOf(traded), 44],
  ['variants', () => variantsOf(family), 44],
  ['variants', () => variantsOf(family), 80],
] as const)('the %s looks as it did, in grey, within a tolerance', async (name, make, columns) => {
  const now = brightness(make(), columns)
  const file = `test/sheets/golden/${name.replace(' ', '-')}-${columns}.grey`
  const text = `${now.map(row => row.join('')).join('\n')}\n`
  let before: string
  try {
    before = readFileSync(file, 'utf8')
  } catch {
    await expect(text).toMatchFileSnapshot(`golden/${name.replace(' ', '-')}-${columns}.grey`)
    before = text
  }
  const then = before.trim().split('\n')
  expect(then.length).toBe(now.length)
  let off = 0
  now.forEach((row, y) => {
    row.forEach((value, x) => {
      off += Math.abs(value - Number(then[y]![x]))
    })
  })
  expect(off / (now.length * columns)).toBeLessThan(TOLERANCE)
  expect(new Set(now.flat()).size).toBeGreaterThan(2)
})

test('the way up that is left out is noticed by that tolerance', () => {
  const whole = flightOf(heron)!
  const without = {
    ...whole,
    svg: whole.svg.replace(/<path d="[^"]*" fill="none" stroke="#1A212B" stroke-width="2.4"[^>]*\/>/g, ''),
  }
  expect(without.svg.length).toBeLessThan(whole.svg.length)
  const [a, b] = [brightness(whole, 44), brightness(without, 44)]
  const off = a
    .flatMap((row, y) => row.map((value, x) => Math.abs(value - b[y]![x]!)))
    .reduce((sum, value) => sum + value, 0)
  expect(off / (a.length * 44)).toBeGreaterThan(TOLERANCE)
})

test('inks keep their contrast on both grounds (WCAG 2.2: 4.5 : 1 for words)', () => {
  const light = (colour: string): number => {
    const [r, g, b] = [1, 3, 5].map(at => {
      const share = Number.parseInt(colour.slice(at, at + 2), 16) / 255
      return share <= 0.04045 ? share / 12.92 : ((share + 0.055) / 1.055) ** 2.4
    }) as [number, number, number]
    return 0.2126 * r + 0.7152 * g + 0.0722 * b
  }
  for (const theme of Object.values(THEMES))
    for (const ink of [theme.ink, theme.pencil, theme.room, theme.limit, theme.short]) {
      const [a, b] = [light(ink), light(theme.ground)].sort((x, y) => y - x) as [number, number]
      expect((a + 0.05) / (b + 0.05)).toBeGreaterThan(4.5)
    }
  expect(SLATE.ground).not.toBe(PAPER.ground)
})

describe('the detail of a map', () => {
  const sheet = openSheet(heron)
  const map = sheet.map()
  const subject = { map, answer: sheet.solve(), theme: PAPER, source: '' }

  test('enlarges the ground by the solution where that is small, and lies within the ranges', () => {
    const { across, up } = detailOf(map)!
    const [x, y] = map.solution!
    for (const [[from, to], at, range] of [
      [across, x, map.ranges.across],
      [up, y, map.ranges.up],
    ] as const) {
      expect(at).toBeGreaterThan(from)
      expect(at).toBeLessThan(to)
      expect(from).toBeGreaterThanOrEqual(range[0])
      expect(to).toBeLessThanOrEqual(range[1])
      expect(3 * (to - from)).toBeLessThanOrEqual((range[1] - range[0]) * (1 + 1e-9))
    }
    // Every place of the ground where all is met is in it: this small one, at the mark.
    for (const [u, v] of map.wanted.flat()) {
      expect(u).toBeGreaterThanOrEqual(across[0])
      expect(v).toBeGreaterThanOrEqual(up[0])
      expect(u).toBeLessThanOrEqual(across[1])
      expect(v).toBeLessThanOrEqual(up[1])
    }
    // Told as what it is, wherever a hand has put the mark since.
    const [u, v] = map.solution!
    expect([u >= across[0] && u <= across[1], v >= up[0] && v <= up[1]]).toEqual([true, true])
    expect(detailPicture(subject, 372)!.svg).toContain('>the ground by the solution, enlarged</text>')
    // The whole map tells of it, by its letter and its frame.
    expect(mapPicture(subject).svg).toMatch(/stroke-dasharray="14 4 4 4"[\s\S]*>A<\/text>/)
  })

  test('marks the settings on steps by what each of them meets', () => {
    const { svg } = detailPicture(subject, 372)!
    const solid = svg.match(/<circle [^>]*r="3.6" fill="#1A212B"/g)!
    const percents = Array.from({ length: 16 }, (_, k) => k)
    const meeting = percents.flatMap(u =>
      percents.filter(v => {
        const { targets } = sheet.solve({ set: { 'fuel fraction': (85 + u) / 100, 'throttle cap': (50 + v) / 100 } })
        return targets.every(({ met }) => met)
      }),
    )
    // One more stands beside the words beneath; the map may be off at a place that touches a line.
    expect(Math.abs(solid.length - 1 - meeting.length)).toBeLessThanOrEqual(1)
    expect(meeting.length).toBeGreaterThan(8)
  })

  test('says what a ring is where no line of a should runs through it', () => {
    const steep = openSheet(heron.replace('at least 2', 'at least 2.686'))
    const { svg } = detailPicture({ ...subject, map: steep.map(), answer: steep.solve() }, 372)!
    expect(svg.match(/<circle [^>]*r="3" /g)!.length).toBeGreaterThan(8)
    expect(svg).toContain('a setting on the steps, a should short')
  })

  test('is left out where the ground is large as it is, and in a conflict', () => {
    const loose = openSheet(heron.replace(/should apoapsis .*/, ''))
    expect(detailOf(loose.map())).toBeNull()
    expect(detailOf(openSheet(hard).map())).toBeNull()
  })

  test('has labels that stand inside the picture and never on one another', () => {
    for (const width of [340, 372, 480]) {
      const picture = detailPicture(subject, width)!
      expect(misplaced(picture)).toEqual([])
    }
  })

  test('has room for the labels of many limits: each is one line then, and none above its frame', () => {
    const more = [
      'could  burn time equal to 60 s ± 5 s',
      'should max speed equal to 1200 m/s',
      'must   burnout speed within 1 km/s to 1.3 km/s',
    ]
    const crowded = openSheet(`${heron}\n${more.join('\n')}\n`)
    const [map, answer] = [crowded.map(), crowded.solve()]
    const { labels, frame, ...picture } = detailPicture({ ...subject, map, answer }, 372)!
    expect(misplaced({ labels, ...picture })).toEqual([])
    const beside = labels.filter(({ x }) => x > frame.right)
    expect(beside.length).toBeGreaterThan(6)
    for (const { y, height } of beside) {
      expect(y).toBeGreaterThan(frame.top - 20)
      expect(y + height).toBeLessThan(frame.bottom + 20)
    }
  })
})

test('nothing of a sheet is ever markup', () => {
  const hostile = heron.replace('Heron 3, a hybrid sounding rocket', '<script>alert(1)</script> & <img onerror=x>')
  for (const picture of [flightOf(hostile)!, mapOf(hostile)!]) {
    expect(picture.svg).not.toContain('<script')
    expect(picture.svg).not.toContain('<img')
    expect(picture.svg).toContain('&lt;script&gt;')
  }
  expect(escaped('a\u0000\u0007<"\'&>\ud800')).toBe('a&lt;&quot;&#39;&amp;&gt;')
})

test('labels are moved apart in order and no farther than they must', () => {
  expect(movedApart([10, 12, 60], 20, 0, 100)).toEqual([10, 30, 60])
  expect(movedApart([95, 96, 97], 20, 0, 100)).toEqual([60, 80, 100])
  expect(movedApart([50], 20, 0, 100)).toEqual([50])
})

test('each family of hatching has strokes of its own on the right hand of its line', () => {
  const strokes = Array.from({ length: 8 }, (_, family) =>
    hatchAlong(
      [
        [0, 0],
        [100, 0],
      ],
      family,
    ),
  )
  expect(new Set(strokes).size).toBe(8)
  for (const path of strokes) {
    const heights = [...path.matchAll(/[ML]\S+ (\S+?)(?=[MLQaZ]|$)/g)].map(match => Number(match[1]))
    expect(Math.min(...heights)).toBeGreaterThanOrEqual(0)
  }
  expect(widthOfWords('WW', { size: 10 })).toBeGreaterThan(widthOfWords('ii', { size: 10 }))
})
