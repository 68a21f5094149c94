import { expect, test } from 'vitest'
import { openSheet } from '../../sheets/index.ts'
import { command, folderWith, type Library } from './stand-in.ts'

const text = `
fact  thrust = 2 kN
fact  mass   = 80 kg     # on the pad
figure liftoff share = thrust / (mass * 1 g0)
`
const folder = folderWith({ 'small.loft': text, 'liftoff share': 'figure a = 1', 'wrong.loft': 'figure a = b\n' })
const home = { folder }
const answer = openSheet(text, { name: 'small.loft' }).working('liftoff share')

async function asked(words: readonly string[], around = home) {
  const opened: NonNullable<Library['opened']> = []
  const ran = await command(['working', ...words], { opened, working: answer }, around)
  return { ...ran, question: opened[0] }
}

test('working prints the steps of one quantity', async () => {
  const ran = await asked(['small.loft', 'liftoff share'])
  expect(ran).toMatchObject({ status: 0, messages: '' })
  // 2,000 N over 80 kg · 9.80665 m/s².
  expect(ran.out).toBe(`small.loft

liftoff share                     2.549       figure, line 4
        = thrust / (mass × 1 g0)
        = 2 kN / (80 kg × 1 g0)
        = 2.549

where

thrust                            2 kN        fact, line 2
mass                              80 kg       fact, line 3: on the pad
`)
})

test('the name may be several words, and may stand before the file', async () => {
  for (const words of [
    ['small.loft', 'peak g'],
    ['small.loft', 'peak', 'g'],
    ['peak g', 'small.loft'],
    ['peak', 'g', 'small.loft'],
  ])
    expect((await asked(words)).question, words.join(' ')).toMatchObject({ asked: 'peak g', text })
  // Where both can be read the first is the sheet.
  expect((await asked(['liftoff share', 'small.loft'])).question).toMatchObject({ asked: 'small.loft' })
})

test('--deep and --set are passed on', async () => {
  const how = async (...words: string[]) => (await asked(['small.loft', 'a', ...words])).question?.how
  expect(await how()).toEqual({ set: {}, deep: 1 })
  expect(await how('--deep', 'all', '--set', 'mass = 90 kg')).toEqual({ set: { mass: '90 kg' }, deep: 'all' })
  expect(await how('--deep', '0')).toMatchObject({ deep: 0 })
  const ran = await asked(['small.loft', 'a', '--deep', 'two'])
  expect(ran).toMatchObject({ status: 2, out: '' })
  expect(ran.messages).toBe('loftsheet: --deep takes a number of levels or the word all; "two" is neither.\n')
})

test('--json prints the working and nothing else', async () => {
  const ran = await asked(['small.loft', 'liftoff share', '--json'])
  expect(JSON.parse(ran.out)).toEqual(answer)
})

test('a name that is missing or unknown, and a faulty sheet, give status 2', async () => {
  expect((await asked(['small.loft'])).messages).toContain(
    'A name is missing: what is to be worked out, behind the sheet.',
  )
  const unknown = openSheet(text).working('liftof share')
  const ran = await command(['working', 'small.loft', 'liftof share'], { working: unknown }, home)
  expect(ran).toMatchObject({ status: 2, out: '' })
  expect(ran.messages).toBe('error: Nothing in the sheet is called "liftof share".\n  Did you mean "liftoff share"?\n')
  const faulty = openSheet('figure a = b\n').working('a')
  const wrong = await command(['working', 'wrong.loft', 'a'], { working: faulty }, home)
  expect(wrong).toMatchObject({ status: 2, out: '' })
  expect(wrong.messages).toContain('wrong.loft:1:12: error: Nothing here is called "b".')
})
