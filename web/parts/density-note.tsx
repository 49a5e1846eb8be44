// Syrup outside the rules that were chosen: it doesn't keep, or crystallises.
import { densityLaws, densityVerdict } from "../../shared/syrup/density-laws.ts";

export function DensityNote({
  brix,
  law,
}: {
  brix: number | null | undefined;
  law: string | undefined;
}) {
  const rules = densityLaws.find(({ key }) => key === law);
  if (typeof brix !== "number" || rules === undefined) return null;
  const verdict = densityVerdict(brix, rules);
  if (verdict === "right") return null;
  const from = `${rules.name}: ${rules.lowestBrix.toFixed(1)} to ${rules.highestBrix.toFixed(1)} Brix`;
  return (
    <p class="problem" role="alert">
      {verdict === "thin"
        ? `Syrup of ${brix.toFixed(1)} Brix may ferment or mould in the bottle: boil it down further first (${from}).`
        : `Syrup of ${brix.toFixed(1)} Brix crystallises and is thicker than the rules allow: thin it first (${from}).`}
    </p>
  );
}
