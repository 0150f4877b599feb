import type { PlanQuestion } from "../api/service";
import { log_of_text, type Passed, text_of_log } from "../card/flown_log";
import { find_of, type FindAsked, nothing_read, words_of_find } from "../find/reading";
import { type RehearsalAsked, rehearsal_of, words_of_rehearsal } from "../rehearse/rehearsal_asked";
import { clock_of } from "./clock";
import { constraints_of, written } from "./constraints";
import { type GivenNames, kinds_of_file, names_at, no_names } from "./given_files";

export type Axis = "distance" | "time";

/** What is seen of the ribbon: from where to where, in nautical miles or in seconds as its axis is. */
export interface Seen {
  readonly begins: number;
  readonly ends: number;
}

/** Where the chart stands: what is in its middle, and how many metres of the ground are a pixel. */
export interface ChartPlace {
  readonly latitude_deg: number;
  readonly longitude_deg: number;
  readonly metres_a_pixel: number;
}
const views = ["plan", "card", "rehearse", "find", "debrief"] as const;
export type View = (typeof views)[number];

/** A route that is built by hand, and what is asked for with it. */
export interface ByHand {
  readonly route: string;
  /** By its ident and transition, or by its name; empty for any. */
  readonly approach: string;
  /** The cruising altitude; null as the question has it, else the lowest that does. */
  readonly altitude_ft: number | null;
}

/** What lies on the chart beside the flight. */
export interface Layers {
  readonly terrain: boolean;
  readonly heard: "coverage" | "fix-accuracy" | null;
  /** Null: at the level of the flight. */
  readonly altitude_ft: number | null;
}

/** All that the address bar keeps: whoever opens it sees the same flight at the same place. */
export interface Address {
  /** Null on a first visit: the service says what to ask. */
  readonly question: PlanQuestion | null;
  /** The files that were given with it. */
  readonly given: GivenNames;
  /** Null where the flight is planned. */
  readonly by_hand: ByHand | null;
  /** Where the cursor stands, in whole seconds after lining up. */
  readonly at_s: number;
  /** The step that was picked; null where none is. */
  readonly step: number | null;
  readonly axis: Axis;
  /** Null where the whole flight is seen. */
  readonly seen: Seen | null;
  /** Null where it stands about the flight. */
  readonly chart: ChartPlace | null;
  readonly view: View;
  readonly night: boolean;
  /** The rehearsal that was run; null where none was. */
  readonly rehearsal: RehearsalAsked | null;
  /** Which of its flights is flown again, from 1. */
  readonly replay: number | null;
  /** What was read to find the place by. */
  readonly find: FindAsked;
  readonly layers: Layers;
  /** The times noted in flight. */
  readonly over: readonly Passed[];
}

export const first_visit: Address = {
  question: null,
  given: no_names,
  by_hand: null,
  at_s: 0,
  step: null,
  axis: "distance",
  seen: null,
  chart: null,
  view: "plan",
  night: false,
  rehearsal: null,
  replay: null,
  find: nothing_read,
  layers: { terrain: false, heard: null, altitude_ft: null },
  over: [],
};

const whole = (text: string | null): number | null => (text !== null && /^\d{1,6}$/.test(text) ? Number(text) : null);

/** A clock, as 37:18 or 1:37:18. */
function seconds_of(text: string | null): number {
  const parts = /^(?:(\d{1,2}):)?(\d{1,3}):(\d\d)$/.exec(text ?? "");
  return parts ? Number(parts[1] ?? 0) * 3600 + Number(parts[2]) * 60 + Number(parts[3]) : 0;
}

function by_hand_of(words: URLSearchParams): ByHand | null {
  const route = words.get("route");
  if (!words.get("from") || !words.get("to") || !route) return null;
  return { route, approach: words.get("approach") ?? "", altitude_ft: whole(words.get("level")) };
}

function seen_of(text: string | null): Seen | null {
  const parts = /^(\d{1,5}(?:\.\d)?)-(\d{1,5}(?:\.\d)?)$/.exec(text ?? "");
  const seen = parts && { begins: Number(parts[1]), ends: Number(parts[2]) };
  return seen && seen.ends > seen.begins ? seen : null;
}

function chart_of(text: string | null): ChartPlace | null {
  const parts = /^(-?\d{1,2}(?:\.\d{1,4})?),(-?\d{1,3}(?:\.\d{1,4})?),(\d{1,4})$/.exec(text ?? "");
  const [latitude_deg = 0, longitude_deg = 0, metres_a_pixel = 0] = (parts ?? []).slice(1).map(Number);
  return parts && Math.abs(latitude_deg) <= 90 && Math.abs(longitude_deg) <= 180 && metres_a_pixel > 0 ? { latitude_deg, longitude_deg, metres_a_pixel } : null;
}

function question_of(words: URLSearchParams): PlanQuestion | null {
  const from = words.get("from");
  const to = words.get("to");
  if (!from || !to) return null;
  const aircraft = words.get("aircraft");
  const wind = words.get("wind");
  const date = words.get("date");
  const choose = whole(words.get("choose"));
  return {
    from,
    to,
    ...(aircraft ? { aircraft } : {}),
    ...(wind ? { wind } : {}),
    ...(date ? { date } : {}),
    ...constraints_of((constraint) => words.get(constraint.word)),
    ...(choose !== null ? { choose } : {}),
  };
}

function layers_of(words: URLSearchParams): Layers {
  const heard = words.get("heard");
  const altitude_ft = words.get("heard-at");
  return {
    terrain: words.has("terrain"),
    heard: heard === "coverage" || heard === "fix-accuracy" ? heard : null,
    altitude_ft: altitude_ft !== null && /^-?\d{1,5}$/.test(altitude_ft) ? Number(altitude_ft) : null,
  };
}

/** Reads what stands behind the question mark; whatever is not understood is as if it were not there. */
export function address_of(search: string): Address {
  const words = new URLSearchParams(search);
  return {
    question: question_of(words),
    given: question_of(words) ? names_at((word) => words.get(word)) : no_names,
    by_hand: by_hand_of(words),
    at_s: seconds_of(words.get("at")),
    step: whole(words.get("step")),
    axis: words.get("axis") === "time" ? "time" : "distance",
    seen: seen_of(words.get("seen")),
    chart: chart_of(words.get("chart")),
    view: views.find((view) => view === words.get("view")) ?? "plan",
    night: words.has("night"),
    rehearsal: rehearsal_of(words),
    replay: whole(words.get("replay")),
    find: find_of(words),
    layers: layers_of(words),
    over: log_of_text(words.get("over")),
  };
}

/** The inverse of address_of, without what is as on a first visit. */
export function search_of(address: Address): string {
  const words: string[] = [];
  // Not URLSearchParams: a wind is to be read as 270/20, not as 270%2F20.
  const put = (name: string, value: string | number) =>
    words.push(
      value === ""
        ? name
        : `${name}=${encodeURIComponent(value).replaceAll("%2F", "/").replaceAll("%2C", ",").replaceAll("%3A", ":").replaceAll("%40", "@").replaceAll("%20", "+")}`,
    );
  const { question } = address;
  if (question) {
    put("from", question.from);
    put("to", question.to);
    if (question.aircraft) put("aircraft", question.aircraft);
    if (question.wind) put("wind", question.wind);
    if (question.date) put("date", question.date);
    for (const { constraint, text } of written(question)) put(constraint.word, text);
    if (question.choose !== undefined) put("choose", question.choose);
    for (const { kind, word } of kinds_of_file) {
      const name = address.given[kind];
      if (name !== null) put(word, name);
    }
  }
  if (address.by_hand) {
    put("route", address.by_hand.route);
    if (address.by_hand.approach) put("approach", address.by_hand.approach);
    if (address.by_hand.altitude_ft !== null) put("level", address.by_hand.altitude_ft);
  }
  if (Math.round(address.at_s) !== 0) put("at", clock_of(address.at_s));
  if (address.step !== null) put("step", address.step);
  if (address.axis !== "distance") put("axis", address.axis);
  if (address.seen) put("seen", `${address.seen.begins}-${address.seen.ends}`);
  if (address.chart) put("chart", `${address.chart.latitude_deg},${address.chart.longitude_deg},${address.chart.metres_a_pixel}`);
  if (address.view !== "plan") put("view", address.view);
  if (address.rehearsal) for (const [name, value] of words_of_rehearsal(address.rehearsal)) put(name, value);
  if (address.replay !== null) put("replay", address.replay);
  for (const [name, value] of words_of_find(address.find)) put(name, value);
  if (address.night) words.push("night");
  if (address.layers.terrain) words.push("terrain");
  if (address.layers.heard) put("heard", address.layers.heard);
  if (address.layers.altitude_ft !== null) put("heard-at", address.layers.altitude_ft);
  if (address.over.length > 0) put("over", text_of_log(address.over));
  return words.length > 0 ? `?${words.join("&")}` : "";
}
