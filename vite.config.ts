import { builtinModules } from 'node:module'
import { defineConfig, type Plugin } from 'vite'

/** Holds machine code, which no bundle can: loaded from its own folder when a PNG is asked for. */
const NATIVE = ['@resvg/resvg-js']
/** The pool of workers, which starts its own files from its own folder. */
const OWN_FILES = ['piscina']
export const OUTSIDE = [...NATIVE, ...OWN_FILES]

/**
 * Writes every sign beyond ASCII as its escape: the engine keeps a file of plain ASCII with one byte a sign, not two. Such signs stand in
 * texts and patterns only, where the escape means the same.
 */
export const asciiOnly: Plugin = {
  name: 'ascii-only',
  generateBundle(_, bundle) {
    for (const part of Object.values(bundle))
      if (part.type === 'chunk')
        part.code = part.code.replace(/[^\0-\x7f]/g, sign => `\\u${sign.charCodeAt(0).toString(16).padStart(4, '0')}`)
  },
}

/** How every bundle is written. */
export const OUTPUT = {
  // A number that is declared constant at the top stays one, and the engine computes with it instead of fetching it: flights take three quarters as long.
  topLevelVar: false,
  // Half the signs to be read at a start; functions keep their names, for whoever reads a trace.
  minify: { compress: false, mangle: { keepNames: true }, codegen: true },
} as const

/** What no bundle holds. */
export const EXTERNAL = [...OUTSIDE, ...builtinModules, ...builtinModules.map(name => `node:${name}`)]

// The library. Bundled because a start reads one file instead of a hundred.
export default defineConfig({
  plugins: [asciiOnly],
  build: {
    ssr: true,
    target: 'node20',
    outDir: 'dist',
    emptyOutDir: true,
    rollupOptions: {
      input: { index: 'sheets/index.ts' },
      external: EXTERNAL,
      output: {
        entryFileNames: '[name].js',
        chunkFileNames: 'part-[hash].js',
        ...OUTPUT,
      },
    },
  },
  ssr: { noExternal: true, external: OUTSIDE },
})
