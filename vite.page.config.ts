import { readFileSync } from 'node:fs'
import { fileURLToPath } from 'node:url'
import { defineConfig, type Plugin } from 'vite'

/** The files of the page that are served as they stand. */
const asTheyStand: Plugin = {
  name: 'as-they-stand',
  generateBundle() {
    for (const name of ['index.html', 'page.css'])
      this.emitFile({ type: 'asset', fileName: name, source: readFileSync(`sheets/page/${name}`, 'utf8') })
  },
}

/** What each run makes: the page with its editor apart, its worker, and the script of the page that is mailed as one file. */
const RUNS: Readonly<Record<string, Readonly<Record<string, string>>>> = {
  production: { page: 'sheets/page/main.tsx' },
  worker: { worker: 'sheets/page/worker/worker.ts' },
  single: { single: 'sheets/page/main.tsx' },
}

// The page in dist/page/. The worker and the single script hold all of their own, so that they run from the inside of one file.
export default defineConfig(({ mode }) => ({
  plugins: mode === 'production' ? [asTheyStand] : [],
  resolve: {
    alias: { 'csv-parse/browser/esm/sync': fileURLToPath(new URL('sheets/page/worker/no-csv.ts', import.meta.url)) },
  },
  build: {
    target: 'es2022',
    outDir: 'dist/page',
    emptyOutDir: mode === 'production',
    modulePreload: false,
    chunkSizeWarningLimit: 1000,
    rollupOptions: {
      input: RUNS[mode]!,
      output: {
        entryFileNames: '[name].js',
        chunkFileNames: 'part-[hash].js',
        ...(mode === 'production' ? {} : { codeSplitting: false }),
      },
    },
  },
}))
