import { describe, expect, it } from "vitest";
import { address_word, find_of, type FindAsked, kind_names, type Reading, reading_of, words_of, words_of_find } from "./reading";

const reading = (kind: Reading["kind"], station: string, value = "", time = ""): Reading => ({ kind, station, value, time });

describe("a reading", () => {
  // The forms of docs/find.md, "What was read".
  it.each([
    [reading("vor", "XAB", "123"), "--vor XAB=123"],
    [reading("vor-to", "XAB", "303"), "--vor XAB=303TO"],
    [reading("vor-from", "XAB", "123"), "--vor XAB=123FROM"],
    [reading("dme", "113.20", "20.5"), "--dme 113.20=20.5"],
    [reading("ndb", "XNB", "045"), "--ndb XNB=045"],
    [reading("ndb-nose", "XNB", "330"), "--ndb XNB=R330"],
    [reading("loc", "IXMR", "centred"), "--loc IXMR=centred"],
    [reading("over", "XAB"), "--over XAB"],
    [reading("silent", "XAB"), "--silent XAB"],
    [reading("silent-dme", "XAB"), "--silent XAB/dme"],
    [reading("vor", "XAB", "123", "6"), "--vor XAB=123@-6"],
    [reading("over", "XAB", "", "14:07"), "--over XAB@14:07"],
    [reading("vor", ".- -...", "123"), "--vor .- -...=123"],
  ])("is asked in the words of the command: %o", (read, words) => expect(words_of(read).join(" ")).toBe(words));

  it("of every kind comes back from the address bar", () => {
    for (const kind of kind_names) {
      for (const time of ["", "6", "14:07"]) {
        const value = ["over", "silent", "silent-dme"].includes(kind) ? "" : kind === "loc" ? "left" : "264";
        const read = reading(kind, "XTE", value, time);
        expect(reading_of(address_word(read)), kind).toEqual(read);
      }
    }
  });

  it("that is none is none", () => {
    for (const word of ["", "vor", "vor:", "tacan:XTE:264", "vor:XTE:264:1", "vor:XTE:264@soon"]) expect(reading_of(word), word).toBeNull();
  });
});

it("what was read, and what is known beside it, comes back from the address bar", () => {
  const asked: FindAsked = { readings: [reading("vor", "XTE", "264"), reading("dme", "XHU", "20.5", "6")], height: "9000", heading: "090", on_card: true };
  expect(find_of(new URLSearchParams(words_of_find(asked).map(([name, value]) => [name, value])))).toEqual(asked);
});
