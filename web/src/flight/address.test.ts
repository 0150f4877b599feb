import { describe, expect, it } from "vitest";
import type { PlanQuestion } from "../api/service";
import { type Address, address_of, first_visit, search_of } from "./address";

const whole: Address = {
  question: {
    from: "XDOV",
    to: "XMRA",
    aircraft: "twin",
    wind: "270/20G30",
    date: "2026-11-25",
    altitude_ft: 10000,
    via: ["XKE", "XHU"],
    avoid: ["XRG"],
    no_ndb: true,
    no_dead_reckoning: true,
    choices: 3,
    choose: 2,
  },
  given: { aircraft: "own twin.toml", minima: "minima.csv", winds_bulletin: null },
  by_hand: { route: "XDOV N0110A080 DCT XDV V14 XKE/N0110A100 DCT XHU XMRA", approach: "I27/XOBAN", altitude_ft: 16000 },
  at_s: 5838,
  step: 6,
  axis: "time",
  seen: { begins: 600, ends: 1800.5 },
  chart: { latitude_deg: 40.1234, longitude_deg: -170.5, metres_a_pixel: 240 },
  view: "card",
  night: true,
  rehearsal: { flights: 500, seed: 3, errors: { wind_kt: 20 }, fail: ["XRG@6"], no_runway: true },
  replay: 12,
  find: { readings: [{ kind: "vor", station: "XTE", value: "264", time: "" }, { kind: "dme", station: "XHU", value: "20.5", time: "6" }], height: "9000", heading: "090", airspeed: "140", fuel: "300", last: { place: "40.5,-169.5", time: "25", within: "3.5" }, on_card: true },
  layers: { terrain: true, heard: "fix-accuracy", altitude_ft: 6500 },
  over: [
    { step: 3, at_ms: 1_764_065_730_000 },
    { step: 4, at_ms: 1_764_066_210_000 },
  ],
};

describe("the address bar", () => {
  it("is empty on a first visit", () => {
    expect(search_of(first_visit)).toBe("");
    expect(address_of("")).toEqual(first_visit);
  });

  it("gives back all that it keeps", () => expect(address_of(search_of(whole))).toEqual(whole));

  it("gives back each part that stands alone", () => {
    for (const name of Object.keys(whole.question!).filter((name) => name !== "from" && name !== "to")) {
      const question: PlanQuestion = { from: "XDOV", to: "XMRA", [name]: whole.question![name as keyof PlanQuestion] };
      const address = { ...first_visit, question };
      expect(address_of(search_of(address)), name).toEqual(address);
    }
    for (const part of [{ at_s: 75 }, { step: 2 }, { axis: "time" }, { view: "card" }, { view: "rehearse" }, { night: true }, { rehearsal: whole.rehearsal }, { replay: 3 }, { find: whole.find }, { view: "find" }, { view: "debrief" }] satisfies Array<Partial<Address>>) {
      const address = { ...first_visit, ...part };
      expect(address_of(search_of(address))).toEqual(address);
    }
  });

  it("keeps a route by hand as one reads it, with its airports alone too", () => {
    const question = { from: "XDOV", to: "XMRA" };
    for (const route of ["XDOV XMRA", "XDOV DCT XDV V14 XKE XMRA"]) {
      const address = { ...first_visit, question, by_hand: { route, approach: "", altitude_ft: null } };
      expect(search_of(address)).toBe(`?from=XDOV&to=XMRA&route=${route.replaceAll(" ", "+")}`);
      expect(address_of(search_of(address))).toEqual(address);
    }
  });

  it("can be read by a person", () => expect(search_of({ ...first_visit, question: { from: "XDOV", to: "XMRA", wind: "270/20" } })).toBe("?from=XDOV&to=XMRA&wind=270/20"));

  it("keeps signs that an address has a use for", () => {
    const address = { ...first_visit, question: { from: "X&A", to: "X=B", aircraft: "my twin #2+" } };
    expect(address_of(search_of(address))).toEqual(address);
  });

  it("passes over what it does not understand", () => {
    expect(address_of("?at=abc&seen=40-20&chart=95,0,10&step=-1&axis=sideways&view=&from=XDOV&%E0%A4%A")).toEqual(first_visit);
  });
});
