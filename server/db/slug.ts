// Makes an id out of what a person calls a thing.

const longestBase = 28;

/**
 * The label in lower-case ASCII letters, digits and hyphens, made unique: "Gate" is `gate`, the
 * next one `gate-2`. At most 32 characters; a label without any such letter takes the fallback.
 */
export function uniqueIdFrom(label: string, fallback: string, isTaken: (id: string) => boolean) {
  const plain = label
    .normalize("NFKD")
    .replace(/\p{M}/gu, "")
    .toLowerCase()
    .replace(/[^a-z0-9]+/g, "-")
    .slice(0, longestBase)
    .replace(/^-+|-+$/g, "");
  const base = plain === "" ? fallback : plain;
  if (!isTaken(base)) return base;
  let number = 2;
  while (isTaken(`${base}-${number}`)) number += 1;
  return `${base}-${number}`;
}
