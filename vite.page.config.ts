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

/** What comes to the worker when it is first wanted, and our door to it. */
const DOORS = [
  { to: /^csv-parse\/browser\/esm\/sync$|\/table-file\.ts$/, door: doorAt('csv.ts') },
  { to: /^polygon-clipping(\/|$)/, door: doorAt('areas.ts') },
]

function doorAt(file: string): string {
  return fileURLToPath(new URL(`sheets/page/worker/${file}`, import.meta.url))
}

/** Whoever imports what comes later gets our door to it, which alone gets the thing itself. */
const whenWanted: Plugin = {
  name: 'when-wanted',
  enforce: 'pre',
  resolveId(source, importer) {
    const { door } = DOORS.find(({ to }) => to.test(source)) ?? {}
    return door && importer !== door ? door : null
  },
}

/** What the bundler puts round every part that comes later would fetch styles and parts ahead of it: there are none, and it is a kilobyte. */
const nothingAhead: Plugin = {
  name: 'nothing-ahead',
  enforce: 'pre',
  load: id => (id.includes('vite/preload-helper') ? 'export const __vitePreload = part => part()' : null),
}

/** What each run makes: the page with its editor apart, its worker, and the two scripts of the page that is mailed as one file. */
const RUNS: Readonly<Record<string, Readonly<Record<string, string>>>> = {
  production: { page: 'sheets/page/main.tsx' },
  worker: { worker: 'sheets/page/worker/worker.ts' },
  single: { single: 'sheets/page/main.tsx' },
  'single-worker': { 'single-worker': 'sheets/page/worker/worker.ts' },
}

/** What the page and the parts behind it have in common is one part: each more would cost half a kilobyte. */
const SHARED = /sheets\/page\/|node_modules\/@?preact/

// The page in dist/page/. What is inside of one file holds all of its own, since it can fetch nothing.
export default defineConfig(({ mode }) => ({
  // Its form for browsers is written for old ones and carries parts that nothing calls.
  resolve: { alias: { 'polygon-clipping': 'polygon-clipping/dist/polygon-clipping.esm.js' } },
  plugins: [whenWanted, nothingAhead, ...(mode === 'production' ? [asTheyStand] : [])],
  build: {
    target: 'es2022',
    outDir: 'dist/page',
    emptyOutDir: mode === 'production',
    modulePreload: false,
    chunkSizeWarningLimit: 1000,
    rollupOptions: {
      input: RUNS[mode]!,
      // What would fetch parts by their address is left out where there are none.
      checks: { emptyImportMeta: false },
      output: {
        entryFileNames: '[name].js',
        chunkFileNames: 'part-[hash].js',
        // See vite.config.ts.
        topLevelVar: false,
        ...(mode.startsWith('single') ? { codeSplitting: false } : {}),
        ...(mode === 'production'
          ? { codeSplitting: { groups: [{ name: 'shared', test: SHARED, minShareCount: 2 }] } }
          : {}),
        // This worker begins as a plain script, which knows no modules.
        ...(mode === 'single-worker' ? { format: 'iife' as const } : {}),
      },
    },
  },
}))
