/** Levers held by hand, by name [SI]. */
export type Pins = Readonly<Record<string, number>>

export function pinned(pins: Pins, name: string, si: number): Pins {
  return { ...without(pins, name), [name]: si }
}

export function without(pins: Pins, name: string): Pins {
  return Object.fromEntries(Object.entries(pins).filter(([other]) => other !== name))
}

export function samePins(a: Pins, b: Pins): boolean {
  const names = Object.keys(a)
  return names.length === Object.keys(b).length && names.every(name => Object.hasOwn(b, name) && b[name] === a[name])
}

/** Where a lever is pinned by now [SI], or null where it was let go; undefined where the answer on show knows of it. */
export function unanswered(
  pins: Pins,
  { name, pinned, si }: { readonly name: string; readonly pinned: boolean; readonly si: number },
): number | null | undefined {
  if (!Object.hasOwn(pins, name)) return pinned ? null : undefined
  return pinned && pins[name] === si ? undefined : pins[name]
}
