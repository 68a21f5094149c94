import type { VariantCell } from '../../variants/answer.ts'
import type { VariantRowView } from '../spoken.ts'
import type * as store from '../state/store.ts'
import { shown } from './numbers.ts'
import { WideTable } from './wide-table.tsx'

/** Columns that say what varies and how a variant ended; margins and the like are left to the file. */
const ROLES = new Set(['variant', 'block', 'varied', 'setting', 'aim'])
/** Rows on show; all of them are in the file. */
const MOST = 200

const FATES: Readonly<Record<VariantRowView['fate'], string>> = {
  met: 'every target met',
  solved: 'every must met',
  conflict: 'conflict',
  unsure: 'unsure',
  faulty: 'faulty',
}

/** How each variant ended and at which settings: the first column stays in sight while the others are scrolled. */
export function VariantsTable({ told }: { readonly told: store.VariantsSoFar }) {
  const columns = told.columns.flatMap(({ role, header }, place) => (ROLES.has(role) ? [{ role, header, place }] : []))
  const problem = told.columns.findIndex(({ role }) => role === 'problem')
  const before = columns.filter(({ role }) => role === 'variant' || role === 'block' || role === 'varied')
  const after = columns.filter(column => !before.includes(column))
  const { all } = told
  return (
    <div>
      <WideTable label="table of variants">
        <thead>
          <tr>
            {before.map(({ header }) => (
              <th key={header} scope="col">
                {headerWords(header)}
              </th>
            ))}
            <th scope="col">outcome</th>
            {after.map(({ header }) => (
              <th key={header} scope="col">
                {headerWords(header)}
              </th>
            ))}
            <th scope="col">short of, or wrong</th>
          </tr>
        </thead>
        <tbody>
          {all.slice(0, MOST).map(({ cells, fate, short }) => (
            <tr key={cells[0]} class={fate}>
              {before.map(({ header, place, role }, k) =>
                k === 0 ? (
                  <th key={header} scope="row">
                    {cellWords(cells[place]!, role)}
                  </th>
                ) : (
                  <td key={header}>{cellWords(cells[place]!, role)}</td>
                ),
              )}
              <td class="fate">{FATES[fate]}</td>
              {after.map(({ header, place, role }) => (
                <td key={header}>{cellWords(cells[place]!, role)}</td>
              ))}
              <td>{shown([short.join(', '), cells[problem] ?? ''].filter(words => words !== '').join('. '))}</td>
            </tr>
          ))}
        </tbody>
      </WideTable>
      {all.length > MOST && <p class="hint">and {shown(String(all.length - MOST))} more in the file</p>}
    </div>
  )
}

function headerWords(header: string): string {
  return header.replace(/ \[(.*)\]$/, ', $1')
}

/** Settings and what varies stand as they are; of other numbers four figures are enough to read. */
function cellWords(cell: VariantCell, role: string): string {
  if (typeof cell !== 'number') return cell ?? ''
  return shown(String(role === 'aim' ? Number(cell.toPrecision(4)) : cell))
}
