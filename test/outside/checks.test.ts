import { readFileSync } from 'node:fs'
import { expect, test } from 'vitest'
import { checkTable } from './checks.ts'

test('the table of outside checks in the README is what the command prints', async () => {
  const table = await checkTable()
  expect(table.split('\n').length).toBeGreaterThan(15)
  expect(readFileSync('README.md', 'utf8')).toContain(table)
})
