// Turns what a formula refuses into a refusal of the request.
import { HttpProblem } from "./problem.ts";

/** What the formula gives. Throws HttpProblem 422 where it throws RangeError. */
export function orRefused<T>(formula: () => T): T {
  try {
    return formula();
  } catch (error) {
    if (error instanceof RangeError) throw new HttpProblem(422, error.message);
    throw error;
  }
}
