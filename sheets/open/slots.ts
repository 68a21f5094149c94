/** A slot of a block: what dimension it wants (a unit of it), and what stands in when it is not written. */
export interface SlotEntry {
  readonly name: string
  readonly unit: string
  /** A quantity as `tidy` would write it, or null: the slot must be given. `none`: without it there is simply no such thing. */
  readonly standard: string | null | 'none'
  /** It takes the name of a table from this unit to `unit`, not a value. */
  readonly tableOf?: string
  /** It is a difference of temperatures, which no reading (degC) tells. */
  readonly difference?: true
  /** Its word is too common: a quantity or table of the sheet by that name is something else unless the block writes the slot. */
  readonly onlyWritten?: true
}

const slot = (name: string, unit: string, standard: SlotEntry['standard'] = null): SlotEntry => ({
  name,
  unit,
  standard,
})
const tableSlot = (name: string, tableOf: string, unit: string): SlotEntry => ({
  name,
  unit,
  standard: 'none',
  tableOf,
})

export const FLIGHT_SLOTS: readonly SlotEntry[] = [
  slot('launch altitude', 'm', '0 m'),
  slot('rail elevation', 'deg', '90 deg'),
  slot('rail length', 'm', '0 m'),
  slot('nose radius', 'm', 'none'),
  { ...slot('temperature offset', 'K', '0 K'), difference: true },
  { ...tableSlot('pitch', 's', 'rad'), onlyWritten: true },
  tableSlot('crew limit', 's', 'm/s^2'),
  tableSlot('entry crew limit', 's', 'm/s^2'),
]

export const STAGE_SLOTS: readonly SlotEntry[] = [
  slot('dry mass', 'kg'),
  slot('propellant mass', 'kg', '0 kg'),
  slot('vacuum thrust', 'N'),
  slot('sea level thrust', 'N', 'none'),
  slot('specific impulse', 's'),
  slot('rated burn time', 's', 'none'),
  slot('total impulse', 'N*s', 'none'),
  { ...slot('count', '1', '1'), onlyWritten: true },
  slot('throttle cap', '1', '100 %'),
  tableSlot('thrust curve', 's', 'N'),
  slot('reference area', 'm^2', 'none'),
  slot('diameter', 'm', 'none'),
  slot('drag coefficient', '1', '1'),
  slot('separation delay', 's', '0 s'),
  slot('ignition delay', 's', '0 s'),
]

export const PARACHUTE_SLOTS: readonly SlotEntry[] = [
  slot('canopy area', 'm^2'),
  slot('drag coefficient', '1', '1'),
  slot('opening altitude', 'm'),
  slot('fill time', 's', '0 s'),
  slot('safe q', 'Pa', 'none'),
  slot('safe speed', 'm/s', 'none'),
]

export const BODY_SLOTS: readonly SlotEntry[] = [
  slot('radius', 'm'),
  slot('surface gravity', 'm/s^2'),
  slot('surface pressure', 'Pa', 'none'),
  slot('surface density', 'kg/m^3', 'none'),
  slot('scale height', 'm', 'none'),
  slot('sound speed', 'm/s', 'none'),
  slot('atmosphere top', 'm', 'none'),
  slot('space boundary', 'm', 'none'),
  slot('heating constant', 'kg^(1/2)/m', 'none'),
  tableSlot('air table', 'm', 'Pa'),
]

/** The slots that a flight takes from the sheet's quantities and tables where its block does not write them: in `stage` blocks only written lines count. */
export function slotsByName(hasStages: boolean): readonly SlotEntry[] {
  const all = hasStages ? FLIGHT_SLOTS : [...FLIGHT_SLOTS, ...STAGE_SLOTS]
  return all.filter(slot => !slot.onlyWritten)
}
