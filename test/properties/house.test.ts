import { readFileSync } from 'node:fs'
import { cruise, type IConfiguration, type ICruiseResult } from 'dependency-cruiser'
import { expect, test } from 'vitest'

test('arrows between the rooms run one way, and no file is part of a circle', async () => {
  const { forbidden, options } = JSON.parse(readFileSync('.dependency-cruiser.json', 'utf8')) as IConfiguration
  const { output } = await cruise(['grammar', 'solver', 'sheets'], {
    ...options,
    validate: true,
    ruleSet: { forbidden: forbidden ?? [] },
  })
  const { summary } = output as ICruiseResult
  // A cruise that sees nothing finds nothing wrong.
  expect(summary.totalCruised).toBeGreaterThan(100)
  expect(summary.violations.map(({ rule, from, to }) => `${rule.name}: ${from} → ${to}`)).toEqual([])
}, 60_000)
