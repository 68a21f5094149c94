import { useEffect, useState } from 'preact/hooks'

type Behind = typeof import('./behind.ts')

let come: Behind | null = null

/** What comes behind the first answer, when it is first wanted; from then on it is at hand at once. */
export function useBehind(when: boolean): Behind | null {
  const [behind, setBehind] = useState(come)
  useEffect(() => {
    if (!when || behind) return
    void import('./behind.ts').then(all => {
      if (!come) all.wakeUp()
      come = all
      setBehind(all)
    })
  }, [when])
  return behind ?? come
}

/** A part of the page that comes when it is first wanted, and stays: the first answer does not wait for it. */
export function Later({ when, part }: { readonly when: boolean; readonly part: keyof Behind['PARTS'] }) {
  const [wanted, setWanted] = useState(when)
  const behind = useBehind(when)
  useEffect(() => {
    if (when) setWanted(true)
  }, [when])
  const Part = wanted || when ? behind?.PARTS[part] : null
  return Part ? <Part /> : null
}
