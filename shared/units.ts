// Conversions of units. Definitions: US gal 231 in3, lb 0.45359237 kg, inch 25.4 mm (NIST SP 811).

export const msPerHour = 3_600_000;
export const msPerMinute = 60_000;
export const msPerDay = 86_400_000;
const litresPerUsGallon = 3.785411784;

export function gFromKg(massKg: number): number {
  return massKg * 1000;
}

export function kgFromG(massG: number): number {
  return massG / 1000;
}

export function usGallonsFromL(volumeL: number): number {
  return volumeL / litresPerUsGallon;
}

export function lFromUsGallons(volumeUsGal: number): number {
  return volumeUsGal * litresPerUsGallon;
}

export function fahrenheitFromC(tempC: number): number {
  return tempC * 1.8 + 32;
}

export function cFromKelvin(tempK: number): number {
  return tempK - 273.15;
}

export function poundsFromKg(massKg: number): number {
  return massKg / 0.45359237;
}
