import { readFileSync, renameSync, writeFileSync } from 'node:fs'
import { createRequire } from 'node:module'
import { dirname, join } from 'node:path'
import { constants, Script } from 'node:vm'

/** What a part of the built command gives, by name. */
type Given = Readonly<Record<string, unknown>>
/** A part as the build writes it: what CommonJS hands to a file. */
type Body = (require: (name: string) => unknown, module: { exports: Given }, exports: Given, ...at: string[]) => void

/** The parts of the built command, each opened once. */
export interface Parts {
  readonly open: (name: string) => Given
  /** Keeps what was compiled so far beside the parts. */
  readonly keep: () => void
}

/** The file beside a part that holds it compiled. */
export function compiledFile(part: string): string {
  return `${part}.compiled`
}

/**
 * Opens the parts of the built command from its folder, as compiled when it was built where that is there: reading and compiling them anew took
 * an eighth of a whole answer. The engine itself refuses what another version of it compiled; then they are compiled anew.
 */
export function partsIn(folder: string): Parts {
  const opened = new Map<string, { readonly script: Script; readonly module: { exports: Given } }>()
  const open = (name: string): Given => {
    const file = join(folder, name)
    const known = opened.get(file)
    if (known) return known.module.exports
    const require = createRequire(file)
    // The build writes plain ASCII, so that one byte is one sign.
    const source = `(function(require,module,exports,__filename,__dirname){${readFileSync(file, 'latin1')}\n})`
    const cachedData = ahead(file)
    const script = new Script(source, {
      filename: file,
      importModuleDynamically: constants.USE_MAIN_CONTEXT_DEFAULT_LOADER,
      ...(cachedData ? { cachedData } : {}),
    })
    const module: { exports: Given } = { exports: {} }
    opened.set(file, { script, module })
    const body = script.runInThisContext() as Body
    body(
      wanted => (wanted.startsWith('./') ? open(wanted) : require(wanted)),
      module,
      module.exports,
      file,
      dirname(file),
    )
    return module.exports
  }
  const keep = (): void => {
    for (const [file, { script }] of opened) {
      // Whoever starts the command meanwhile finds a whole file or none.
      writeFileSync(`${compiledFile(file)}.new`, script.createCachedData())
      renameSync(`${compiledFile(file)}.new`, compiledFile(file))
    }
  }
  return { open, keep }
}

function ahead(file: string): Buffer | null {
  try {
    return readFileSync(compiledFile(file))
  } catch {
    return null
  }
}
