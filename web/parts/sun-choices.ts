// How much sun a bucket stands in, in the words a person chooses from.

const known = [
  { share: 1, words: "in the open, sun all day" },
  { share: 0.5, words: "half the day in shade" },
  { share: 0.25, words: "mostly in shade" },
  { share: 0, words: "in shade all day" },
];

export type SunChoice = { value: string; words: string };

/** The choices with the present share among them, also where a person set another by other means. */
export function sunChoices(presentShare: number): SunChoice[] {
  const isKnown = known.some(({ share }) => share === presentShare);
  const present = { share: presentShare, words: `${Math.round(presentShare * 100)} % of the sun` };
  const all = isKnown ? known : [...known, present].sort((a, b) => b.share - a.share);
  return all.map(({ share, words }) => ({ value: String(share), words }));
}
