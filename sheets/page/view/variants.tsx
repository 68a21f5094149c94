import type { FactView, VariantRowView } from '../spoken.ts'
import { askVariants, chooseAxes, stopVariants } from '../state/asking.ts'
import { saveBook, savePicture, saveTable } from '../state/files.ts'
import * as store from '../state/store.ts'
import { Drawing } from './drawing.tsx'
import { shown } from './numbers.ts'
import { VariantsTable } from './variants-table.tsx'

/** The variants of the sheet: a table of how each ended and at which settings, and the picture of the whole. */
export function Variants() {
  const [facts, varies] = [store.facts.value, store.varies.value]
  if (!facts || varies === null) return null
  const told = store.variants.value
  const old = store.variantsOld.value || store.stale.value
  return (
    <section aria-labelledby="variants" class={old ? 'stale' : ''}>
      <div class="row">
        <h2 id="variants">Variants</h2>
        {varies && <Under />}
      </div>
      {!varies && <NoneYet facts={facts} />}
      {varies && told?.problem && <p class="trouble">{told.problem}</p>}
      {varies && told && told.all.length > 0 && (
        <div class="variants">
          <Picture told={told} />
          <VariantsTable told={told} />
        </div>
      )}
    </section>
  )
}

/** How to write them, by the first fact of the sheet that is a plain number. */
function NoneYet({ facts }: { readonly facts: readonly FactView[] }) {
  const own = facts.find(({ each }) => each !== null)?.each
  const line = own ?? 'each NAME over A, B, C'
  return (
    <p class="hint">
      None so far. Write a line <code>variants</code> and below it, indented, lines such as <code>{line}</code>: the
      sheet is then solved once for each.{' '}
      {own && (
        <button
          type="button"
          class="foot"
          onClick={() => store.changeText(`${store.draft.value.text.trimEnd()}\n\nvariants\n  ${line}\n`)}
        >
          Write that
        </button>
      )}
    </p>
  )
}

/** How far they are, and what can be done with them. */
function Under() {
  const told = store.variants.value
  const busy = store.varying.value
  const rows = told?.all ?? []
  return (
    <>
      <p class="hint">{shown(progressWords(told, busy))}</p>
      <span class="unseen" role="status">
        {told?.done && !busy && !store.variantsOld.value ? shown(progressWords(told, busy)) : ''}
      </span>
      {busy && told && !told.done && (
        <button type="button" class="frame" onClick={stopVariants}>
          Stop
        </button>
      )}
      {!busy && (!told?.done || told.waits || store.variantsOld.value) && (
        <button type="button" class="frame" onClick={() => askVariants('all')}>
          Solve them
        </button>
      )}
      {told && rows.length > 0 && (
        <>
          {told.drawn && (
            <button type="button" class="foot" onClick={() => savePicture(told.drawn!.svg, 'variants')}>
              Save picture
            </button>
          )}
          <button
            type="button"
            class="foot"
            onClick={() =>
              saveTable('variants', [
                told.columns.map(({ header }) => header),
                ...rows.map(({ cells }) => cells.map(cell => String(cell ?? ''))),
              ])
            }
          >
            Save rows
          </button>
          <button type="button" class="foot" onClick={() => void saveRowsBook(told)}>
            Save spreadsheet
          </button>
        </>
      )}
    </>
  )
}

async function saveRowsBook({ columns, all }: store.VariantsSoFar): Promise<void> {
  const { rowsBook } = await import('../../workbook/rows-book.ts')
  const rows = all.map(({ cells }) => cells)
  await saveBook(rowsBook(columns, rows), 'variants')
}

function progressWords(told: store.VariantsSoFar | null, busy: boolean): string {
  if (!told) return busy ? 'working them out' : 'the sheet once more for each of its variants'
  const many = (count: number): string => count.toLocaleString('en')
  const { all, total, waits, done, most } = told
  if (told.problem) return ''
  if (store.variantsOld.value)
    return waits
      ? `${many(total)} of them: solved when you ask for it; these are from before the change`
      : 'from before the change'
  if (waits) return `${many(total)} of them: solved when you ask for it`
  if (busy && !done) return `${many(all.length)} of ${many(Math.min(total, most))} solved so far`
  if (!done) return `stopped: ${many(all.length)} of ${many(total)}`
  if (total > all.length)
    return `the first ${many(all.length)} of ${many(total)}; the command line solves all of them: loftsheet variants`
  return countWords(all)
}

/** "12: 5 meet every target, 3 every must, 4 in conflict". */
function countWords(all: readonly VariantRowView[]): string {
  const count = (fate: VariantRowView['fate']): number => all.filter(each => each.fate === fate).length
  const parts = [
    [count('met'), count('met') === 1 ? 'meets every target' : 'meet every target'],
    [count('solved'), 'every must only'],
    [count('conflict'), 'in conflict'],
    [count('unsure'), 'unsure'],
    [count('faulty'), 'faulty'],
  ] as const
  const words = parts.flatMap(([many, what]) => (many > 0 ? [`${many} ${what}`] : []))
  return `${all.length}: ${words.join(', ')}`
}

function Picture({ told }: { readonly told: store.VariantsSoFar }) {
  const { drawn, axes, noPicture } = told
  const varied = told.columns.filter(({ role }) => role === 'varied').map(({ name }) => name)
  const choose = (which: 'across' | 'up', value: string): void => {
    const other = which === 'across' ? axes!.up : axes!.across
    // The two change places where one is asked for that stands on the other axis.
    const before = which === 'across' ? axes!.across : axes!.up
    const kept = other === value ? before : other
    chooseAxes(which === 'across' ? value : kept, which === 'across' ? kept : value)
  }
  return (
    <div class="whole">
      {axes?.up != null && varied.length > 2 && told.done && (
        <p class="choices lettering">
          {(['across', 'up'] as const).map(which => (
            <span key={which}>
              <label for={`axis ${which}`}>{which}</label>{' '}
              <select
                id={`axis ${which}`}
                value={axes[which]!}
                onChange={event => choose(which, event.currentTarget.value)}
              >
                {varied.map(name => (
                  <option key={name} value={name}>
                    {name}
                  </option>
                ))}
              </select>
            </span>
          ))}
        </p>
      )}
      {drawn && (
        <div class="sized" ref={box => box?.style.setProperty('--wide', `${drawn.width}px`)}>
          <Drawing svg={drawn.svg} label={drawn.words} />
        </div>
      )}
      {noPicture !== null && <p class="hint">{noPicture}</p>}
    </div>
  )
}
