// How much sap must stand somewhere before its keeping is worth a word.

/** Less than this is no reason to walk or light a fire: own choice, about a pint. g of sap. */
export const leastToBoilG = 500;
/** The same on the page, L: a litre of sap weighs about a kilogram. */
export const leastToBoilL = leastToBoilG / 1000;
/** An alarm that is open is kept down to this, g. */
export const leastToHoldG = 400;
