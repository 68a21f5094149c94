// U.S. Standard Atmosphere, 1976 (NOAA-S/T 76-1562 = NASA-TM-X-74335): the numbers it is built from. Formulas in us76.ts.

/** Effective Earth radius of the Standard [m], and the gravity on it [m/s2]. */
export const EARTH_RADIUS = 6356766
export const EARTH_GRAVITY = 9.80665

/** Gas constant of the Standard (not today's CODATA value) [J/(kmol K)], mean molecular weight up to 80 km [kg/kmol], ratio of specific heats. */
export const GAS_CONSTANT = 8314.32
export const MOLECULAR_WEIGHT = 28.9644
export const HEAT_RATIO = 1.4

/** Pressure at sea level [Pa]. */
export const SEA_LEVEL_PRESSURE = 101325

/** The seven layers: geopotential altitude of the base [m], molecular-scale temperature there [K], its lapse [K/m]. Table 4 of the Standard. */
export const LAYERS = [
  { base: 0, temperature: 288.15, lapse: -0.0065 },
  { base: 11000, temperature: 216.65, lapse: 0 },
  { base: 20000, temperature: 216.65, lapse: 0.001 },
  { base: 32000, temperature: 228.65, lapse: 0.0028 },
  { base: 47000, temperature: 270.65, lapse: 0 },
  { base: 51000, temperature: 270.65, lapse: -0.0028 },
  { base: 71000, temperature: 214.65, lapse: -0.002 },
] as const

/** Kinetic over molecular-scale temperature from 80 km in steps of 0.5 km to 86 km: M/M0, Table 8 of the Standard. */
export const WEIGHT_RATIO = [
  1, 0.999996, 0.999989, 0.999971, 0.999941, 0.999909, 0.99987, 0.999829, 0.999786, 0.999741, 0.999694, 0.999641,
  0.999579,
] as const

/** Geometric altitude at which the layers give way to the table below, where the table and all air end, and the lowest for which the layers are meant [m]. */
export const UPPER_START = 86000
export const AIR_TOP = 1000000
export const AIR_FLOOR = -5000

/**
 * Geometric altitude [km], pressure [Pa], density [kg/m3] above the layers: computed from the Standard's six-species diffusion model
 * (section 1.3 of the Standard); they agree with its printed Table I within 0.05 % to 100 km and 0.2 % to 1000 km.
 */
export const UPPER: readonly (readonly [number, number, number])[] = [
  [86, 0.37338, 6.958e-6],
  [87, 0.31259, 5.824e-6],
  [88, 0.26173, 4.875e-6],
  [89, 0.21919, 4.081e-6],
  [90, 0.18359, 3.416e-6],
  [91, 0.15381, 2.86e-6],
  [92, 0.12887, 2.393e-6],
  [93, 0.10801, 2e-6],
  [94, 0.09056, 1.67e-6],
  [95, 0.075966, 1.393e-6],
  [96, 0.063765, 1.162e-6],
  [97, 0.05357, 9.685e-7],
  [98, 0.045057, 8.071e-7],
  [99, 0.037948, 6.725e-7],
  [100, 0.032011, 5.604e-7],
  [102, 0.023136, 3.934e-7],
  [104, 0.016876, 2.768e-7],
  [105, 0.014473, 2.324e-7],
  [106, 0.012452, 1.953e-7],
  [108, 0.00932, 1.382e-7],
  [110, 0.0071066, 9.711e-8],
  [112, 0.0055572, 6.841e-8],
  [115, 0.0040115, 4.291e-8],
  [118, 0.0030159, 2.848e-8],
  [120, 0.0025395, 2.223e-8],
  [125, 0.0017363, 1.291e-8],
  [130, 0.0012512, 8.156e-9],
  [135, 0.00093624, 5.468e-9],
  [140, 0.00072074, 3.833e-9],
  [145, 0.00056729, 2.782e-9],
  [150, 0.00045454, 2.077e-9],
  [160, 0.00030418, 1.234e-9],
  [170, 0.00021228, 7.82e-10],
  [180, 0.00015285, 5.198e-10],
  [190, 0.00011276, 3.583e-10],
  [200, 8.482e-5, 2.543e-10],
  [220, 5.0205e-5, 1.368e-10],
  [240, 3.1096e-5, 7.866e-11],
  [250, 2.4798e-5, 6.079e-11],
  [260, 1.9919e-5, 4.748e-11],
  [280, 1.3093e-5, 2.974e-11],
  [300, 8.7827e-6, 1.918e-11],
  [350, 3.4549e-6, 7.024e-12],
  [400, 1.454e-6, 2.807e-12],
  [450, 6.4564e-7, 1.186e-12],
  [500, 3.0278e-7, 5.223e-13],
  [600, 8.2215e-8, 1.138e-13],
  [700, 3.1926e-8, 3.073e-14],
  [800, 1.704e-8, 1.137e-14],
  [900, 1.0874e-8, 5.761e-15],
  [1000, 7.5139e-9, 3.561e-15],
]
