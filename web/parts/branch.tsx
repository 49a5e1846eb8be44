// The branch that pails hang from, with a little snow on it.

const branchPaths = [
  "M0 12 C30 8 55 16 100 12",
  "M0 12 C25 16 60 7 100 12",
  "M0 12 C40 12 70 9 100 12",
];
const snowPaths = [
  "M18 8.500 C32 4 50 8 64 10",
  "M50 7 C62 3 78 5 90 9",
  "M8 9.500 C20 6 34 7 46 8.500",
];

/** The piece of branch above one pail; neighbours join into one line. */
export function Branch({ index }: { index: number }) {
  const turn = index % branchPaths.length;
  return (
    <svg class="branch" viewBox="0 0 100 24" preserveAspectRatio="none" aria-hidden="true">
      <path class="branch-wood" d={branchPaths[turn]} />
      <path class="branch-snow-edge" d={snowPaths[turn]} />
      <path class="branch-snow" d={snowPaths[turn]} />
    </svg>
  );
}
