import { describe, expect, it } from "vitest";
import { empty_route, inserted, part_of_word, point_before, removed, route_of, text_of, word_at_column } from "./hand_route";

const passes = (airway: string, ident: string) => (({ V14: ["XDV", "XULVE", "XKE"], V12: ["XODEL", "XOBAN"] }) as Record<string, string[]>)[airway]?.includes(ident) ?? false;

// The examples are those of docs/judge.md, "The route".
describe("a route", () => {
  it.each([
    "XDOV DCT XDV V14 XKE DCT XHU DCT XODEL V12 XOBAN XMRA",
    "XDOV N0110A080 DCT XDV V14 XKE/N0110A100 DCT XHU DCT XODEL V12 XOBAN XMRA",
    "XDOV DCT XDV V12 XRG XEMIR1 XMRA",
    "XDOV XULVE1 XULVE V14 XKE VFR DCT 40N168W DCT XKE180040 XMRA",
    "XDOV XMRA",
  ])("%s is read and written again as it was", (text) => {
    expect(text_of(route_of(text))).toBe(text);
  });

  it("is its legs, with the SID as the first way and the STAR behind the last point", () => {
    expect(route_of("xdov xulve1 xulve v14 xke xemir1 xmra")).toEqual({
      from: "XDOV",
      begins: [],
      legs: [
        { via: "XULVE1", to: "XULVE" },
        { via: "V14", to: "XKE" },
      ],
      star: "XEMIR1",
      to: "XMRA",
    });
  });

  it("knows at which part a word stands", () => {
    const route = route_of("XDOV N0110A080 DCT XDV V14 XKE XEMIR1 XMRA");
    expect([1, 2, 3, 4, 5, 6, 7, 8].map((word) => part_of_word(route, word))).toEqual([-1, -1, 0, 0, 1, 1, 2, 2]);
  });

  it("tells the word at a column", () => {
    const text = "XDOV DCT XDV V14 XKE XMRA";
    expect(["XDOV", "XDV", "XMRA"].map((word) => word_at_column(text, text.indexOf(word) + 1))).toEqual([1, 3, 6]);
  });
});

describe("putting in", () => {
  it("begins an empty route", () => {
    expect(text_of(inserted(empty_route("XDOV", "XMRA"), 0, [{ via: "DCT", to: "XDV" }], passes))).toBe("XDOV DCT XDV XMRA");
  });

  it("keeps an airway that passes the new point, and flies direct where it does not", () => {
    const route = route_of("XDOV DCT XDV V14 XKE XMRA");
    expect(point_before(route, 1)).toBe("XDV");
    expect(text_of(inserted(route, 1, [{ via: "V14", to: "XULVE" }], passes))).toBe("XDOV DCT XDV V14 XULVE V14 XKE XMRA");
    expect(text_of(inserted(route, 1, [{ via: "DCT", to: "XHU" }], passes))).toBe("XDOV DCT XDV DCT XHU DCT XKE XMRA");
  });

  it("of the point that stands there changes the way to it", () => {
    expect(text_of(inserted(route_of("XDOV DCT XDV DCT XKE XMRA"), 1, [{ via: "V14", to: "XKE" }], passes))).toBe("XDOV DCT XDV V14 XKE XMRA");
  });

  it("keeps what changes at a point", () => {
    const route = route_of("XDOV DCT XDV/N0110A100 V14 XKE XMRA");
    expect(text_of(inserted(route, 1, [{ via: "V14", to: "XULVE" }], passes))).toBe("XDOV DCT XDV/N0110A100 V14 XULVE V14 XKE XMRA");
  });
});

describe("taking out", () => {
  it("joins what was about it along the airway that passes both, else direct", () => {
    expect(text_of(removed(route_of("XDOV DCT XDV V14 XULVE V14 XKE XMRA"), 1, passes))).toBe("XDOV DCT XDV V14 XKE XMRA");
    expect(text_of(removed(route_of("XDOV DCT XDV V14 XKE DCT XODEL V12 XOBAN XMRA"), 2, passes))).toBe("XDOV DCT XDV V14 XKE DCT XOBAN XMRA");
  });

  it("of the first point leaves no airway behind the runway, and of the only one no STAR", () => {
    expect(text_of(removed(route_of("XDOV DCT XDV V14 XKE XMRA"), 0, passes))).toBe("XDOV DCT XKE XMRA");
    expect(text_of(removed(route_of("XDOV DCT XRG XEMIR1 XMRA"), 0, passes))).toBe("XDOV XMRA");
  });
});
