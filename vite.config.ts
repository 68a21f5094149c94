import { builtinModules } from 'node:module'
import { defineConfig } from 'vite'

// Two bundles from one build: the command and the library. Bundled because a cold start reads one file instead of a hundred.
export default defineConfig({
  build: {
    ssr: true,
    target: 'node20',
    outDir: 'dist',
    emptyOutDir: true,
    rollupOptions: {
      input: { loftsheet: 'sheets/command/main.ts', index: 'sheets/index.ts' },
      external: [...builtinModules, ...builtinModules.map(name => `node:${name}`)],
      output: {
        entryFileNames: '[name].js',
        chunkFileNames: 'part-[hash].js',
        banner: chunk => (chunk.name === 'loftsheet' ? '#!/usr/bin/env node' : ''),
      },
    },
  },
  ssr: { noExternal: true },
})
