import { partsIn } from './parts.ts'
import type work from './variants-worker.ts'

/** What the pool of workers starts: the worker as it was built. */
const { default: built } = partsIn(__dirname).open('work.cjs') as { readonly default: typeof work }

export default built
