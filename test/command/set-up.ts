import { join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { build } from 'vite'
import type { TestProject } from 'vitest/node'

declare module 'vitest' {
  export interface ProvidedContext {
    /** The folder of the command as it is built. */
    built: string
  }
}

const root = fileURLToPath(new URL('../../', import.meta.url))
/** Inside the project, so that what is not bundled is found. */
const BUILT = fileURLToPath(new URL('../../node_modules/.loftsheet-test/', import.meta.url))

/** Before all tests of the command: it is built once from the source as it stands, for those that start processes. */
export default async function setUp(project: TestProject): Promise<void> {
  await build({ root, logLevel: 'silent', build: { outDir: BUILT, emptyOutDir: true } })
  await build({ root, configFile: join(root, 'vite.command.config.ts'), logLevel: 'silent', build: { outDir: BUILT } })
  project.provide('built', BUILT)
}
