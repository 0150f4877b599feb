import { describe, expect, it } from "vitest";
import type { JudgeDocument, JudgeFinding } from "../api/generated";
import { Problem } from "../api/service";
import { said_by_part } from "./found_here";
import { route_of } from "./hand_route";

const route = route_of("XDOV DCT XDV V14 XKE XMRA");
const finding = (word: number | null, text: string): JudgeFinding => ({ grade: "warns", code: "a.b", about: "", text, step: null, word });
const judged = (route_given: string, findings: JudgeFinding[]) => ({ route_given, findings }) as unknown as JudgeDocument;
const texts = (found: Map<number | null, ReadonlyArray<{ text: string }>>) => [...found].map(([part, said]) => [part, said.map((one) => one.text)]);

describe("what was found", () => {
  it("stands at the part of its word, and what belongs to no word apart", () => {
    const found = said_by_part(route, judged("XDOV DCT XDV V14 XKE XMRA", [finding(1, "a"), finding(3, "b"), finding(4, "c"), finding(6, "d"), finding(null, "e"), finding(5, "f")]), null);
    expect(texts(found)).toEqual([[-1, ["a"]], [0, ["b"]], [1, ["c", "f"]], [2, ["d"]], [null, ["e"]]]);
  });

  it("of another route is passed over: its judgement is still to come", () => {
    expect(said_by_part(route, judged("XDOV DCT XDV XMRA", [finding(3, "a")]), null).size).toBe(0);
    expect(said_by_part(route, judged("XDOV DCT XDV V14 XHU XMRA", [finding(3, "a")]), null).size).toBe(0);
  });

  it("is known again where the judge writes a speed and level in another way", () => {
    const with_level = route_of("XDOV K0200S0300 DCT XDV/N0110F100 V14 XKE XMRA");
    expect(texts(said_by_part(with_level, judged("XDOV N0108A098 DCT XDV/N0110A100 V14 XKE XMRA", [finding(4, "a")]), null))).toEqual([[0, ["a"]]]);
  });

  it("wrong with a word stands there, by its column in the text that was sent", () => {
    const problem = new Problem("", 422, [
      { code: "route.unknown_point", message: "no XKE", where: "ROUTE:1:18" },
      { code: "app.other", message: "elsewhere", where: "/aircraft" },
    ]);
    expect(texts(said_by_part(route, null, problem))).toEqual([[1, ["no XKE"]], [null, ["elsewhere"]]]);
  });
});
