// Verner's 6(5) pair of nine stages, first same as last: J. H. Verner, Numerically optimal Runge–Kutta pairs with
// interpolants, Numerical Algorithms 53 (2010). Its coefficients near 200 magnify rounding in row sums to 7e-12, so the
// nodes are given apart. The numbers are named one by one so that the step functions hold them as constants.

export const C2 = 0.06
export const C3 = 1439 / 15000
export const C4 = 0.1439
export const C5 = 0.4973
export const C6 = 0.9725
export const C7 = 0.9995

export const A21 = 0.06
export const A31 = 0.019239962962962962
export const A32 = 0.07669337037037037
export const A41 = 0.035975
export const A43 = 0.107925
export const A51 = 1.3186834152331484
export const A53 = -5.042058063628562
export const A54 = 4.220674648395414
export const A61 = -41.87259166432751
export const A63 = 159.43256216313748
export const A64 = -122.11921356501004
export const A65 = 5.531743066200053
export const A71 = -54.430156935316504
export const A73 = 207.06725136501848
export const A74 = -158.61081378459
export const A75 = 6.991816585950242
export const A76 = -0.01859723106220323
export const A81 = -54.66374178728198
export const A83 = 207.95280625538936
export const A84 = -159.2889574744995
export const A85 = 7.018743740796944
export const A86 = -0.018338785905045722
export const A87 = -0.0005119484997882099

/** Sixth-order weights, also the last row: the ninth stage stands at the end of the step. */
export const B1 = 0.03438957868357036
export const B4 = 0.25826245556335037
export const B5 = 0.4209371189673537
export const B6 = 4.40539646966931
export const B7 = -176.48311902429865
export const B8 = 172.36413340141507

/** Sixth-order weights less the fifth-order ones. */
export const E1 = 0.008623404282200854
export const E4 = -0.019434029953152708
export const E5 = 0.028450072588037983
export const E6 = -2.1097110610652914
export const E7 = 103.45854289996397
export const E8 = -101.39980461914912
export const E9 = 1 / 30
