import { defineConfig } from 'vite'
import product from './vite.config.ts'

// What is measured is bundled as the product is: run from source, every function made in passing is also given its name, which costs flights a third.
export default defineConfig({
  ...product,
  plugins: [],
  build: {
    ...product.build,
    outDir: 'dist/bench',
    rollupOptions: { ...product.build?.rollupOptions, input: { bench: 'test/bench/bench.ts' } },
  },
})
