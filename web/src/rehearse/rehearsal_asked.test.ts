import { describe, expect, it } from "vitest";
import { as_usual, errors_text, rehearsal_of, type RehearsalAsked, words_of_rehearsal } from "./rehearsal_asked";

const read = (asked: RehearsalAsked) => rehearsal_of(new URLSearchParams(words_of_rehearsal(asked).map(([name, value]) => [name, value])));

describe("a rehearsal in the address bar", () => {
  it("comes back as it was asked for", () => {
    const asked: RehearsalAsked = { flights: 250, seed: 7, errors: { wind_kt: 22.5, vor_station_deg: 2 }, fail: ["XRG@6", "NAV1@30min"], no_runway: true };
    expect(read(asked)).toEqual(asked);
    expect(read({ ...as_usual, errors: "none" })).toEqual({ ...as_usual, errors: "none" });
  });

  it("names no more than how many where all else is as usual, and is none without", () => {
    expect(words_of_rehearsal(as_usual)).toEqual([["flights", "1000"]]);
    expect(rehearsal_of(new URLSearchParams("seed=4&errors=none"))).toBeNull();
  });

  it("takes nothing into the errors that is no figure", () => {
    expect(rehearsal_of(new URLSearchParams("flights=10&errors=wind_kt:3,gusts_kt:high,x;y:1"))?.errors).toEqual({ wind_kt: 3 });
  });
});

describe("an errors file", () => {
  it("has a line for each figure, and always a line's end, by which the service knows it from a name", () => {
    expect(errors_text({ wind_kt: 15, wind_for_min: 40 })).toBe("wind_kt = 15\nwind_for_min = 40\n");
    expect(errors_text({})).toBe("\n");
    expect(errors_text("nominal")).toBe("nominal");
  });
});
