import type { VariantColumn } from '../variants/answer.ts'
import { headText } from '../variants/written.ts'
import { codeOf, reason } from './files.ts'
import { ReaderGone, Refusal, type Shell } from './shell.ts'
import type { Outgoing } from './variants-output.ts'

/** Rows as CSV, or all as one JSON document that ends with what `last` says. */
export type OutletFormat =
  | { readonly kind: 'csv' }
  | { readonly kind: 'json'; readonly sheet: string; readonly last: () => unknown }

/** Rows to standard output. Waits for a slow reader; one who goes away ends the run. Where they cannot be written it is told how far they came. */
export function outletOutput(shell: Shell, columns: readonly VariantColumn[], format: OutletFormat): Outgoing {
  let begun = false
  let rows = false
  let done = 0
  const put = async (text: string): Promise<void> => {
    try {
      await shell.out.send(text)
    } catch (error) {
      if (codeOf(error) === 'EPIPE') throw new ReaderGone()
      throw new Refusal(
        `Standard output cannot be written: ${reason(error)}. ${done.toLocaleString('en')} variants had been written.`,
      )
    }
  }
  const head = async (): Promise<void> => {
    if (begun) return
    begun = true
    await put(format.kind === 'csv' ? headText(columns, 'csv') : `{"sheet":${JSON.stringify(format.sheet)},"rows":[\n`)
  }
  return {
    write: async (text, now) => {
      await head()
      if (text !== '') await put(format.kind === 'csv' ? text : listed(text, rows))
      rows ||= text !== ''
      done = now
    },
    end: async whole => {
      if (!whole) return
      await head()
      if (format.kind === 'json') await put(`\n],"summary":${JSON.stringify(format.last())}}\n`)
    },
  }
}

/** Lines of JSON as members of a list that goes on. */
function listed(lines: string, more: boolean): string {
  return (more ? ',\n' : '') + lines.trimEnd().replaceAll('\n', ',\n')
}
