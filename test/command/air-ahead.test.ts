import { expect, test } from 'vitest'
import { moduleOf } from '../../air-ahead.ts'
import { type Profile, standardProfile } from '../../solver/flight/profile.ts'

/** What a module gives that is there as text only. */
async function given(text: string): Promise<{ readonly keptAir: () => Profile | null }> {
  return await import(`data:text/javascript,${encodeURIComponent(text)}`)
}

test('the air that the command is built with is the one that it would lay out, bit for bit', async () => {
  const { keptAir } = await given(moduleOf(standardProfile()))
  expect(keptAir()).toStrictEqual(standardProfile())
})
