import type { SheetOutline } from '../../outline.ts'
import type { Asking } from '../spoken.ts'
import { type Desk, opened } from './desk.ts'

type Pins = Readonly<Record<string, number>>

/** The pins of levers: a hand may have pinned one that the text has no more, or that is a fact by now. */
export function pinsOf({ levers }: SheetOutline, pins: Pins): Pins {
  const names = new Set(levers.map(({ name }) => name))
  return Object.fromEntries(Object.entries(pins).filter(([name]) => names.has(name)))
}

/** An asking with the pins of its sheet's levers alone. */
export function onLevers<Any extends Asking>(desk: Desk, asking: Any): Any {
  if (!('set' in asking) || Object.keys(asking.set).length === 0) return asking
  const sheet = opened(desk, asking.text)
  desk.outline ??= sheet.outline()
  return { ...asking, set: pinsOf(desk.outline, asking.set) }
}
