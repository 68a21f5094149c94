import { rowsBook } from '../../workbook/rows-book.ts'
import { askVariants } from '../state/asking.ts'
import { saveBook, saveTable } from '../state/files.ts'
import * as store from '../state/store.ts'
import { shown } from './numbers.ts'

/** Columns that say how a variant ended; margins and the like are left to the file. */
const ROLES = new Set(['variant', 'block', 'varied', 'outcome', 'setting', 'aim', 'problem'])
/** Rows on show; all of them are in the file. */
const MOST = 200

/** The variants of the sheet as a table. */
export function Variants() {
  if (!/^variants\b/m.test(store.draft.value.text)) return null
  const told = store.variants.value
  const columns = told?.columns.flatMap(({ role, header }, place) => (ROLES.has(role) ? [{ header, place }] : [])) ?? []
  const rows = told?.rows ?? []
  return (
    <section aria-labelledby="variants">
      <div class="row">
        <h2 id="variants">Variants</h2>
        <p class="hint">
          {told ? `${rows.length} solved${told.done ? '' : ' so far'}` : 'the sheet once more for each of its variants'}
        </p>
        <button type="button" class="frame" onClick={askVariants}>
          Solve them
        </button>
        {told?.done && (
          <button
            type="button"
            class="foot"
            onClick={() =>
              void saveBook(
                rowsBook(
                  told.columns,
                  rows.map(row => row.map(cellOf)),
                ),
                'variants',
              )
            }
          >
            Save spreadsheet
          </button>
        )}
        {told && (
          <button
            type="button"
            class="foot"
            onClick={() => saveTable('variants', [told.columns.map(({ header }) => header), ...rows])}
          >
            Save rows
          </button>
        )}
      </div>
      {told?.problem && <p class="trouble">{told.problem}</p>}
      {rows.length > 0 && (
        // A table wider than the page is scrolled by keys as well.
        <div class="scroll" tabindex={0} role="group" aria-label="variants">
          <table>
            <thead>
              <tr>
                {columns.map(({ header }) => (
                  <th key={header} scope="col">
                    {header.replace(/ \[(.*)\]$/, ', $1')}
                  </th>
                ))}
              </tr>
            </thead>
            <tbody>
              {rows.slice(0, MOST).map(row => (
                <tr key={row[0]}>
                  {columns.map(({ header, place }) => (
                    <td key={header}>{shown(row[place]!)}</td>
                  ))}
                </tr>
              ))}
            </tbody>
          </table>
        </div>
      )}
      {rows.length > MOST && <p class="hint">and {rows.length - MOST} more in the file</p>}
    </section>
  )
}

/** A cell as a number where it is one. */
function cellOf(text: string): number | string | null {
  const value = Number(text)
  return text === '' ? null : Number.isFinite(value) ? value : text
}
