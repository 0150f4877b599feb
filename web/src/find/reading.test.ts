import { describe, expect, it } from "vitest";
import { address_word, find_of, type FindAsked, kind_names, known_says, nothing_read, type Reading, reading_of, tells_place, words_of, words_of_find, words_of_known } from "./reading";

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

describe("what is known beside it", () => {
  const asked: FindAsked = {
    readings: [reading("vor", "XTE", "264"), reading("dme", "XHU", "20.5", "6")],
    height: "9000",
    heading: "090",
    airspeed: "140",
    fuel: "300",
    last: { place: "XTE090012", time: "25", within: "3.5" },
    on_card: true,
  };
  const places = ["XTE", "XTE090012", "N4430W07215", "-12.5,170"];

  // The options of docs/find.md.
  it.each([
    [{}, "--altitude 9000 --heading 090 --airspeed 140 --fuel 300 --last XTE090012@-25 --last-within 3.5"],
    [{ last: { place: "-12.5,170", time: "14:07", within: "" } }, "--altitude 9000 --heading 090 --airspeed 140 --fuel 300 --last -12.5,170@14:07"],
    [{ heading: "", airspeed: "", fuel: "", last: { place: "", time: "25", within: "2" } }, "--altitude 9000"],
  ])("is asked in the words of the command: %o", (change, words) => expect(words_of_known({ ...asked, ...change }).join(" ")).toBe(words));

  it.each(places)("comes back from the address bar, whatever form the place has: %s", (place) => {
    for (const time of ["", "25", "14:07"]) {
      const one = { ...asked, last: { ...asked.last, place, time } };
      expect(find_of(new URLSearchParams(words_of_find(one).map(([name, value]) => [name, value])))).toEqual(one);
    }
  });

  it("is said on paper with its units, and only where it is given", () => {
    expect(known_says(asked)).toEqual(["9000 ft", "heading 090", "140 kt true", "300 lb left", "last known: XTE090012 25 min ago within 3.5 NM"]);
    expect(known_says({ ...nothing_read, height: "9000" })).toEqual(["9000 ft"]);
  });

  it("tells the place without a reading where it was known once", () => {
    expect(tells_place(nothing_read)).toBe(false);
    expect(tells_place({ ...nothing_read, last: asked.last })).toBe(true);
    expect(tells_place({ ...nothing_read, readings: asked.readings })).toBe(true);
  });
});
