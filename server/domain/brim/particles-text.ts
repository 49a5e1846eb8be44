// Supposed trees as a text that JSON takes as it is.
import type { Particles } from "./particles.ts";

/** The rows' bytes in base64: a quarter of what the digits would take, and soon written and read. */
export function textFromParticles(particles: Particles): string {
  return Buffer.from(particles.buffer, particles.byteOffset, particles.byteLength).toString(
    "base64",
  );
}

export function particlesFromText(text: string): Particles {
  const bytes = Buffer.from(text, "base64");
  const particles = new Float32Array(Math.floor(bytes.length / 4));
  new Uint8Array(particles.buffer).set(bytes.subarray(0, particles.byteLength));
  return particles;
}
