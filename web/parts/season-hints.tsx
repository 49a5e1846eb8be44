// What speaks for the season's end, each hint with how sure it is.
import type { SeasonHintsView } from "../../shared/wire/season-hints.ts";
import { useAsked, useTick } from "../asking.ts";
import { Outcome } from "./outcome.tsx";

const againMs = 300_000;

export function SeasonHints() {
  const { value, problem } = useAsked<SeasonHintsView>("/season/hints", useTick(againMs));
  return (
    <section>
      <h2>Is the season ending?</h2>
      <Outcome sending={{ problem, done: undefined }} />
      {value !== undefined && <HintList season={value} />}
    </section>
  );
}

export function HintList({ season }: { season: SeasonHintsView }) {
  return (
    <>
      <p>{endingWords(season)}</p>
      {season.hints.length > 0 && (
        <ul class="rows">
          {season.hints.map(({ kind, sure, text }) => (
            <li key={kind}>
              <span class="row-words">
                {text} <span class="soft">A {sure} hint.</span>
              </span>
            </li>
          ))}
        </ul>
      )}
      <p class="soft">
        Advice, no verdict: boil a cup of sap and smell it. Once it smells and tastes of buds, or
        the sap stays cloudy, the season is over.
      </p>
    </>
  );
}

const fewDays = 13;

export function endingWords({ hints, probability, frostThawDays }: SeasonHintsView): string {
  if (hints.length === 0) {
    return frostThawDays < fewDays
      ? `Nothing speaks for it so far; with ${frostThawDays} days of frost and thaw heard, how the yard runs can't yet be held against its beginning.`
      : "Nothing speaks for it so far.";
  }
  if (probability >= 0.5) return "It may well end within a week.";
  return probability >= 0.2 ? "It may be drawing near." : "There is little that speaks for it.";
}
