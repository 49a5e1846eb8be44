// The colour class of table syrup from the light it lets through.

export type ColourClass = "golden" | "amber" | "dark" | "very dark";

/**
 * Least light transmission of each class, percent of 560 nm through 10 mm: Canada, New York and USDA, United States
 * Standards for Grades of Maple Syrup (2015).
 */
export const colourClasses: readonly { colour: ColourClass; leastTransmissionPercent: number }[] = [
  { colour: "golden", leastTransmissionPercent: 75 },
  { colour: "amber", leastTransmissionPercent: 50 },
  { colour: "dark", leastTransmissionPercent: 25 },
  { colour: "very dark", leastTransmissionPercent: 0 },
];

/**
 * Colour class of syrup; transmissionPercent at 560 nm through 10 mm, 0-100, rounded down to the tenth as the
 * standard is written. Taste and clearness are judged apart. Throws RangeError outside.
 */
export function colourClass(transmissionPercent: number): ColourClass {
  const found = colourClasses.find(
    ({ leastTransmissionPercent }) => transmissionPercent >= leastTransmissionPercent,
  );
  if (found === undefined || transmissionPercent > 100) {
    throw new RangeError(`light transmission requires 0 to 100 %, got ${transmissionPercent}`);
  }
  return found.colour;
}
