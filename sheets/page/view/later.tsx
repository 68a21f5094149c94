import { useEffect, useState } from 'preact/hooks'

type Parts = typeof import('./behind.ts')

/** A part of the page that comes when it is first wanted, and stays: the first answer does not wait for it. */
export function Later({ when, part }: { readonly when: boolean; readonly part: keyof Parts }) {
  const [parts, setParts] = useState<Parts | null>(null)
  useEffect(() => {
    if (when && !parts) void import('./behind.ts').then(setParts)
  }, [when])
  const Part = parts?.[part]
  return Part ? <Part /> : null
}
