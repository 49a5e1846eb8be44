// How much sap must stand somewhere before its keeping is worth a word.

/** Less than this is no reason to walk or light a fire: own choice, about a pint. g of sap. */
export const leastToBoilG = 500;
/** An alarm that is open is kept down to this, g. */
export const leastToHoldG = 400;
