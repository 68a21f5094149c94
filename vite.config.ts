import { chmodSync, existsSync, rmSync, symlinkSync } from 'node:fs'
import { builtinModules } from 'node:module'
import { defineConfig, type Plugin } from 'vite'

const COMMAND = 'dist/loftsheet.js'
const LINK = 'node_modules/.bin/loftsheet'
/** Holds machine code, which no bundle can: loaded from its own folder when a PNG is asked for. */
const NATIVE = ['@resvg/resvg-js']
/** The pool of workers, which starts its own files from its own folder. */
const OWN_FILES = ['piscina']
const OUTSIDE = [...NATIVE, ...OWN_FILES]

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

/**
 * Writes every sign beyond ASCII as its escape: the engine keeps a file of plain ASCII with one byte a sign, not two. Such signs stand in
 * texts and patterns only, where the escape means the same.
 */
const asciiOnly: Plugin = {
  name: 'ascii-only',
  generateBundle(_, bundle) {
    for (const part of Object.values(bundle))
      if (part.type === 'chunk')
        part.code = part.code.replace(/[^\0-\x7f]/g, sign => `\\u${sign.charCodeAt(0).toString(16).padStart(4, '0')}`)
  },
}

// Three bundles from one build: the command, the library, and a worker that solves variants. Bundled because a cold start reads one file instead of a hundred.
export default defineConfig({
  plugins: [asciiOnly, linkCommand],
  build: {
    ssr: true,
    target: 'node20',
    outDir: 'dist',
    emptyOutDir: true,
    rollupOptions: {
      input: {
        loftsheet: 'sheets/command/main.ts',
        index: 'sheets/index.ts',
        'variants-worker': 'sheets/command/variants-worker.ts',
      },
      external: [...OUTSIDE, ...builtinModules, ...builtinModules.map(name => `node:${name}`)],
      output: {
        entryFileNames: '[name].js',
        chunkFileNames: 'part-[hash].js',
        // A number that is declared constant at the top stays one, and the engine computes with it instead of fetching it: flights take three quarters as long.
        topLevelVar: false,
        // Half the signs to be read at a start; functions keep their names, for whoever reads a trace.
        minify: { compress: false, mangle: { keepNames: true }, codegen: true },
        banner: chunk => (chunk.name === 'loftsheet' ? '#!/usr/bin/env node' : ''),
      },
    },
  },
  ssr: { noExternal: true, external: OUTSIDE },
})
