import { defineConfig } from 'vite'
import product from './vite.config.ts'

// What is measured is bundled as the product is.
export default defineConfig({
  ...product,
  plugins: [],
  build: {
    ...product.build,
    outDir: 'dist/bench',
    rollupOptions: { ...product.build?.rollupOptions, input: { bench: 'test/bench/bench.ts' } },
  },
})
