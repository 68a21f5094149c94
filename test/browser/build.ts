import { spawnSync } from 'node:child_process'
import { statSync } from 'node:fs'
import { build } from 'vite'
import { ownFolder } from '../support/folders.ts'

const [WRITTEN, COMPILED] = ['grammar/loft.ne', 'grammar/loft.generated.ts']

/** The page built anew into a folder of its own, so that whoever looks at it sees the source as it is. */
export async function builtPage(): Promise<string> {
  const place = ownFolder('page')
  // What is compiled already is left alone: other tests may be reading it.
  const made = statSync(COMPILED, { throwIfNoEntry: false })?.mtimeMs ?? 0
  if (made < statSync(WRITTEN).mtimeMs) spawnSync('npx', ['nearleyc', WRITTEN, '-o', COMPILED])
  // As it is built for its readers: under a test runner a build is made for tests, and larger.
  process.env.NODE_ENV = 'production'
  // Each run adds to what the first has made.
  for (const mode of ['production', 'worker', 'single', 'single-worker'])
    await build({ configFile: 'vite.page.config.ts', mode, logLevel: 'error', build: { outDir: place } })
  return `${place}/`
}
