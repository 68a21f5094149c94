import { spawnSync } from 'node:child_process'
import { chmodSync, existsSync, rmSync, symlinkSync } from 'node:fs'
import { join, resolve } from 'node:path'
import { defineConfig, type Plugin, type ResolvedConfig } from 'vite'
import { airAhead } from './air-ahead.ts'
import { asciiOnly, EXTERNAL, OUTPUT, OUTSIDE } from './vite.config.ts'

const COMMAND = 'dist/loftsheet.cjs'
const LINK = 'node_modules/.bin/loftsheet'

/** Makes the command run by its name in this folder too: npm links the commands of what is installed, not a package's own. */
const linkCommand: Plugin = {
  name: 'link-command',
  closeBundle() {
    if (!existsSync(COMMAND)) return
    chmodSync(COMMAND, 0o755)
    rmSync(LINK, { force: true })
    // Where links are not allowed the command is still there by its path.
    if (process.platform !== 'win32' && existsSync('node_modules/.bin')) symlinkSync(`../../${COMMAND}`, LINK)
  },
}

/** Keeps the parts as compiled beside them: a start that has not to read them anew answers an eighth sooner. */
function compileAhead(): Plugin {
  let config: ResolvedConfig
  return {
    name: 'compile-ahead',
    configResolved(resolved) {
      config = resolved
    },
    closeBundle() {
      const step = join(config.build.outDir, 'compile-ahead.cjs')
      const sheet = join(config.root, 'sheets/examples/heron.loft')
      const { status, stderr } = spawnSync(process.execPath, [resolve(config.root, step), sheet], { encoding: 'utf8' })
      if (status !== 0) throw new Error(`compiling ahead failed: ${stderr}`)
    },
  }
}

const CHILDREN = "require('node:child_process')"

/** The reader of words can start other programs, which nobody asks of it here: it does without what node would have to load for that at each start. */
const noChildren: Plugin = {
  name: 'no-children',
  transform(code, id) {
    if (!id.includes('/commander/') || !code.includes(CHILDREN)) return null
    return { code: code.replace(CHILDREN, '{}'), map: null }
  },
}

// The command, in a form that may be kept as compiled, which the engine does not offer for modules of the newer form.
export default defineConfig({
  plugins: [airAhead, noChildren, asciiOnly, compileAhead(), linkCommand],
  build: {
    ssr: true,
    target: 'node20',
    outDir: 'dist',
    emptyOutDir: false,
    rollupOptions: {
      input: {
        loftsheet: 'sheets/command/boot.ts',
        command: 'sheets/command/start.ts',
        'variants-worker': 'sheets/command/worker-boot.ts',
        work: 'sheets/command/variants-worker.ts',
        'compile-ahead': 'sheets/command/compile-ahead.ts',
      },
      external: EXTERNAL,
      output: {
        format: 'cjs',
        exports: 'named',
        entryFileNames: '[name].cjs',
        chunkFileNames: 'part-[hash].cjs',
        ...OUTPUT,
        banner: chunk => (chunk.name === 'loftsheet' ? '#!/usr/bin/env node' : ''),
      },
    },
  },
  ssr: { noExternal: true, external: OUTSIDE },
})
