import { describe, expect, it } from "vitest";
import { brought_into_view, moved, pinched, Scale, span_of, ticks, zoomed } from "./scale";

const whole = { begins: 0, ends: 200 };

describe("the axis of the ribbon", () => {
  it("leads from a place to a pixel and back", () => {
    const scale = new Scale({ begins: 40, ends: 90 }, 172, 1372);
    expect(scale.px(40)).toBe(172);
    expect(scale.px(90)).toBe(1372);
    for (const at of [40, 41.7, 66, 90, 120]) expect(scale.at(scale.px(at))).toBeCloseTo(at, 9);
  });

  it("that was kept stands where it was, also where its end was rounded beyond the whole", () => {
    expect(span_of(null, whole)).toEqual(whole);
    expect(span_of({ begins: 20, ends: 60.5 }, whole)).toEqual({ begins: 20, ends: 60.5 });
    expect(span_of({ begins: 180, ends: 200.4 }, whole)).toEqual({ begins: 200 - (200.4 - 180), ends: 200 });
    expect(span_of({ begins: 5000, ends: 6000 }, whole)).toEqual(whole);
  });

  it("zooms about a place that stays under the pointer", () => {
    const span = { begins: 20, ends: 120 };
    const about = 45;
    const near = zoomed(span, about, 2, whole, 2);
    expect(near.ends - near.begins).toBeCloseTo(50, 9);
    expect((about - near.begins) / 50).toBeCloseTo((about - span.begins) / 100, 9);
  });

  it("keeps each place that is held under its finger", () => {
    const scale = new Scale({ begins: 20, ends: 120 }, 100, 1100);
    for (const fingers of [[300, 900], [250, 420], [900, 300]] as const) {
      const held = [scale.at(fingers[0] + 37), scale.at(fingers[1] - 61)] as const;
      const near = new Scale(pinched(scale, held, fingers, whole, 2), 100, 1100);
      expect(near.px(held[0])).toBeCloseTo(fingers[0], 6);
      expect(near.px(held[1])).toBeCloseTo(fingers[1], 6);
    }
  });

  it("pinched shows no more than the whole nor less than the least, and nothing strange where fingers meet or pass", () => {
    const scale = new Scale({ begins: 20, ends: 120 }, 100, 1100);
    expect(pinched(scale, [30, 110], [500, 530], whole, 2)).toEqual(whole);
    const nearest = pinched(scale, [60, 60.5], [110, 1090], whole, 2);
    expect(nearest.ends - nearest.begins).toBeCloseTo(2, 9);
    expect(pinched(scale, [60, 80], [505, 500], whole, 2)).toEqual(scale.span);
  });

  it("never shows more than the whole nor less than the least", () => {
    expect(zoomed({ begins: 20, ends: 120 }, 60, 1 / 50, whole, 2)).toEqual(whole);
    const least = zoomed({ begins: 20, ends: 120 }, 60, 1e6, whole, 2);
    expect(least.ends - least.begins).toBeCloseTo(2, 9);
    expect(zoomed({ begins: 0, ends: 1 }, 0, 10, { begins: 0, ends: 1 }, 2)).toEqual({ begins: 0, ends: 1 });
  });

  it("stops at the ends of the flight", () => {
    expect(moved({ begins: 20, ends: 60 }, -50, whole)).toEqual({ begins: 0, ends: 40 });
    expect(moved({ begins: 20, ends: 60 }, 500, whole)).toEqual({ begins: 160, ends: 200 });
  });

  it("follows the cursor out of what is seen, and lies still while it is seen", () => {
    const span = { begins: 20, ends: 60 };
    expect(brought_into_view(span, 33, whole)).toBe(span);
    expect(brought_into_view(span, 61, whole)).toEqual({ begins: 23, ends: 63 });
    expect(brought_into_view(span, 10, whole)).toEqual({ begins: 8, ends: 48 });
    expect(brought_into_view(span, 0, whole)).toEqual({ begins: 0, ends: 40 });
  });

  it("has round ticks far enough apart", () => {
    for (const [length, of] of [
      [207, "distance"],
      [12, "distance"],
      [6090, "time"],
      [90, "time"],
    ] as const) {
      const scale = new Scale({ begins: 0, ends: length }, 0, 1000);
      const found = ticks(scale, of);
      expect(found.length).toBeGreaterThan(2);
      for (const [index, tick] of found.entries()) if (index > 0) expect(scale.px(tick.at) - scale.px(found[index - 1]!.at)).toBeGreaterThanOrEqual(70);
    }
    expect(ticks(new Scale({ begins: 0, ends: 207 }, 0, 1000), "distance").map((tick) => tick.says)).toEqual(["0", "20", "40", "60", "80", "100", "120", "140", "160", "180", "200"]);
    expect(ticks(new Scale({ begins: 0.05, ends: 0.65 }, 0, 600), "distance").map((tick) => tick.says)).toEqual(["0.1", "0.2", "0.3", "0.4", "0.5", "0.6"]);
  });
});
