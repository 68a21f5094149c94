/** A target is met at a margin no further below zero than this; `equal to` without a tolerance has a wider one (design: margin). */
export const MET = 1e-9
export const MET_EQUAL = 1e-6
