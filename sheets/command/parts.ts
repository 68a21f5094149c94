import { readFileSync, renameSync, writeFileSync } from 'node:fs'
import { createRequire } from 'node:module'
import { dirname, join } from 'node:path'
import process from 'node:process'
import { constants, Script } from 'node:vm'
import { crc32 } from 'node:zlib'

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
 * an eighth of a whole answer. What was compiled from another source, by another engine, or was damaged since, is compiled anew.
 */
export function partsIn(folder: string): Parts {
  const opened = new Map<
    string,
    { readonly script: Script; readonly source: Buffer; readonly module: { exports: Given } }
  >()
  const open = (name: string): Given => {
    const file = join(folder, name)
    const known = opened.get(file)
    if (known) return known.module.exports
    const require = createRequire(file)
    const source = readFileSync(file)
    const cachedData = compiledFrom(source, file)
    // The build writes plain ASCII, so that one byte is one sign.
    const wrapped = `(function(require,module,exports,__filename,__dirname){${source.toString('latin1')}\n})`
    const script = new Script(wrapped, {
      filename: file,
      importModuleDynamically: constants.USE_MAIN_CONTEXT_DEFAULT_LOADER,
      ...(cachedData ? { cachedData } : {}),
    })
    const module: { exports: Given } = { exports: {} }
    opened.set(file, { script, source, module })
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
    for (const [file, { script, source }] of opened) {
      const data = script.createCachedData()
      // Whoever starts the command meanwhile finds a whole file or none.
      writeFileSync(`${compiledFile(file)}.new`, Buffer.concat([sealOf(source, data), data]))
      renameSync(`${compiledFile(file)}.new`, compiledFile(file))
    }
  }
  return { open, keep }
}

/** Three sums and four bytes more, so that what follows lies as the engine wants it. [bytes] */
const SEAL_BYTES = 16

/** What stands before the compiled: sums of the source, of the engine's version, and of the compiled itself. The engine looks at none of them but its version, and takes a wrong byte for code. */
function sealOf(source: Uint8Array, data: Uint8Array): Buffer {
  const seal = Buffer.alloc(SEAL_BYTES)
  seal.writeUInt32LE(crc32(source), 0)
  seal.writeUInt32LE(crc32(`${process.version} ${process.versions.v8} ${process.arch}`), 4)
  seal.writeUInt32LE(crc32(data), 8)
  return seal
}

/** A part as it was compiled from this very source by this very engine, or null. */
function compiledFrom(source: Uint8Array, file: string): Buffer | null {
  let whole: Buffer
  try {
    whole = readFileSync(compiledFile(file))
  } catch {
    return null
  }
  const data = whole.subarray(SEAL_BYTES)
  return whole.length > SEAL_BYTES && sealOf(source, data).equals(whole.subarray(0, SEAL_BYTES)) ? data : null
}
