// Two of a kind by one name can't be told apart: said before a second one gets it.

type Named = { id: string; label: string };

/** Why `label` won't do for the one with `ownId` (none for a new one) beside the others; undefined when it will. */
export function sameNameWords(
  label: string,
  others: readonly Named[],
  ownId?: string,
): string | undefined {
  const plain = (text: string) => text.trim().toLowerCase();
  const same = others.find((one) => one.id !== ownId && plain(one.label) === plain(label));
  if (same === undefined) return undefined;
  return `There is already one called ${same.label}: give this one a name of its own.`;
}
