import { useEffect, useState } from 'preact/hooks'

type Parts = typeof import('./behind.ts')

let come: Parts | null = null

/** What comes behind the first answer, when it is first wanted; from then on it is at hand at once. */
export function useBehind(when: boolean): Parts | null {
  const [parts, setParts] = useState(come)
  useEffect(() => {
    if (!when || parts) return
    void import('./behind.ts').then(all => {
      if (!come) {
        // From here on something can be taken away that has the focus, or be taken back.
        all.keepFocus()
        all.keepInSight()
        all.listenToKeys()
        all.stayInPlace()
      }
      come = all
      setParts(all)
    })
  }, [when])
  return parts ?? come
}

/** A part of the page that comes when it is first wanted, and stays: the first answer does not wait for it. */
export function Later({
  when,
  part,
}: {
  readonly when: boolean
  readonly part: Exclude<
    keyof Parts,
    'Typing' | 'copyLink' | 'keepFocus' | 'keepInSight' | 'listenToKeys' | 'stayInPlace'
  >
}) {
  const [wanted, setWanted] = useState(when)
  const parts = useBehind(when)
  useEffect(() => {
    if (when) setWanted(true)
  }, [when])
  const Part = wanted || when ? parts?.[part] : null
  return Part ? <Part /> : null
}
