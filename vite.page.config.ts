import { readFileSync } from 'node:fs'
import { defineConfig, type Plugin } from 'vite'

/** The files of the page that are served as they stand. */
const asTheyStand: Plugin = {
  name: 'as-they-stand',
  generateBundle() {
    for (const name of ['index.html', 'page.css'])
      this.emitFile({ type: 'asset', fileName: name, source: readFileSync(`sheets/page/${name}`, 'utf8') })
  },
}

// The page in dist/page/: its script, its worker, and the editor, which comes by itself when the page stands. A second run in the mode
// `single` puts all of the script into one file, for the page that is mailed as one.
export default defineConfig(({ mode }) => ({
  resolve: {
    alias: { 'csv-parse/browser/esm/sync': new URL('sheets/page/worker/no-csv.ts', import.meta.url).pathname },
  },
  plugins: mode === 'single' ? [] : [asTheyStand],
  build: {
    target: 'es2022',
    outDir: 'dist/page',
    emptyOutDir: mode !== 'single',
    modulePreload: false,
    rollupOptions: {
      input:
        mode === 'single'
          ? { single: 'sheets/page/main.tsx' }
          : { page: 'sheets/page/main.tsx', worker: 'sheets/page/worker/worker.ts' },
      output: {
        entryFileNames: '[name].js',
        chunkFileNames: 'part-[hash].js',
        ...(mode === 'single' ? { codeSplitting: false } : {}),
      },
    },
  },
}))
