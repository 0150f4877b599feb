import { describe, expect, it } from "vitest";
import type { CardDocument, PlanDocument } from "../api/generated";
import { card_in_words, flight_in_words, wind_says } from "./flight_in_words";

const wind = (altitude_msl_ft: number, from_true_deg: number, speed_kt: number) => ({ altitude_msl_ft, from_true_deg, speed_kt, gust_kt: null });
const card = { request: { from: "XDOV", to: "XMRA", aircraft: "Tesserin 8", winds: [wind(0, 270, 20)] } } as unknown as CardDocument;
const plan = { from: { ident: "XDOV", name: "XANDOVEL" }, to: { ident: "XMRA", name: "XAMARRA CAPITAL" }, aircraft: "Tesserin 8" } as unknown as PlanDocument;
const question = { from: "XDOV", to: "XMRA", aircraft: "twin", wind: "270/20", date: "2026-11-25" };

describe("the head of a sheet", () => {
  it("says from where to where, with what aircraft, in which wind, and when", () => {
    expect(flight_in_words(question, plan, card, "2026-12-01")).toEqual({ title: "XDOV XANDOVEL to XMRA XAMARRA CAPITAL", figures: ["Tesserin 8", "wind 270/20", "2026-11-25"] });
    expect(card_in_words(card)).toEqual({ title: "XDOV to XMRA", figures: ["Tesserin 8", "wind 270/20"] });
  });

  it("says what was asked as long as nothing has come of it; without a date it is today's", () => {
    expect(flight_in_words({ from: "XDOV", to: "XMRA", wind: "270/20" }, null, null, "2026-12-01")).toEqual({ title: "XDOV to XMRA", figures: ["wind 270/20", "2026-12-01"] });
  });

  it("writes a wind as it is said: three figures and two, north as 360, by levels where there are several", () => {
    expect(wind_says([wind(0, 5, 8)])).toBe("wind 005/08");
    expect(wind_says([wind(0, 0, 12)])).toBe("wind 360/12");
    expect(wind_says([wind(3000, 270, 20), wind(9000, 290, 35)])).toBe("wind 3,000 ft 270/20, 9,000 ft 290/35");
    expect(wind_says([])).toBe("no wind");
  });
});
