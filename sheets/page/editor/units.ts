/** Units offered behind a number: those that the trade writes most. */
export const UNITS: readonly string[] =
  '% kg g t lb N kN lbf Pa kPa MPa bar psi psf m mm cm km ft inch mi nmi m^2 cm^2 ft^2 s min ms m/s km/s ft/s kn m/s^2 g0 kN*s N*s deg rad K degC degF kg/m^3 kg/s W/m^2 kW/m^2 J'.split(
    ' ',
  )
