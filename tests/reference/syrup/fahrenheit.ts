// Fahrenheit of printed tables as Celsius.

export function cFromFahrenheit(tempF: number): number {
  return (tempF - 32) / 1.8;
}
