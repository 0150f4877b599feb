/** From a point to a point: direct, along an airway, or by a SID from the runway. */
export interface HandLeg {
  /** DCT, the designator of an airway, or the ident of a SID. */
  readonly via: string;
  /** The point, with what changes there: XKE, XKE/N0110A100. */
  readonly to: string;
}

/** A route as words in the form of item 15 of an ICAO flight plan, by what one changes of it. */
export interface HandRoute {
  readonly from: string;
  /** Speed and level, where the route names them. */
  readonly begins: readonly string[];
  readonly legs: readonly HandLeg[];
  /** The STAR behind the last point; empty for none. */
  readonly star: string;
  readonly to: string;
}

const is_direct = (word: string) => word === "DCT";
// Letters, a number, perhaps a letter; six figures behind letters are a bearing and a distance, which is a point.
const is_designator = (word: string) => /^[A-Z]{1,6}\d{1,4}[A-Z]?$/.test(word);
const is_speed_level = (word: string) => /^[KNM]\d{3,4}([AFSM]\d{3,4}|VFR)$/.test(word);
const is_rules = (word: string) => word === "VFR" || word === "IFR";

export const ident_of = (point: string): string => /^[A-Z0-9]+/.exec(point)?.[0] ?? "";

export const empty_route = (from: string, to: string): HandRoute => ({ from, begins: [], legs: [], star: "", to });

/** Reads a route; its first and its last word are the airports. Whether its names exist is for the judge to say. */
export function route_of(text: string): HandRoute {
  const words = text.trim().toUpperCase().split(/\s+/);
  const legs: HandLeg[] = [];
  const begins: string[] = [];
  let via = "";
  for (const word of words.slice(1, -1)) {
    if (legs.length === 0 && via === "" && is_speed_level(word)) begins.push(word);
    else if (is_rules(word) && legs.length > 0) legs.push({ via: legs.at(-1)!.via, to: `${legs.pop()!.to} ${word}` });
    else if (is_direct(word) || is_designator(word)) via = word;
    else {
      legs.push({ via: via || "DCT", to: word });
      via = "";
    }
  }
  return { from: words[0] ?? "", begins, legs, star: is_direct(via) ? "" : via, to: words.length > 1 ? words.at(-1)! : "" };
}

/** The inverse of route_of. */
export function text_of(route: HandRoute): string {
  const legs = route.legs.flatMap((leg) => [leg.via, leg.to]);
  return [route.from, ...route.begins, ...legs, ...(route.star ? [route.star] : []), route.to].filter((word) => word !== "").join(" ");
}

/**
 * The part of a route at which a word of it stands, by its number from 1: -1 for the departure airport with speed and level, a leg by its index, and as
 * many as there are legs for the destination with its STAR.
 */
export function part_of_word(route: HandRoute, word: number): number {
  let first = 2 + route.begins.length;
  if (word < first) return -1;
  for (const [index, leg] of route.legs.entries()) {
    first += 1 + leg.to.split(" ").length;
    if (word < first) return index;
  }
  return route.legs.length;
}

/** The number of the word that begins at a column of the text, from 1; words stand with one blank between. */
export const word_at_column = (text: string, column: number): number => text.slice(0, Math.max(0, column - 1)).split(" ").length;

/** The ident behind which a leg with this index would be put: empty behind the airport alone. */
export const point_before = (route: HandRoute, index: number): string => ident_of(route.legs[index - 1]?.to ?? "");

/** Whether an airway passes a point, as far as is known. */
export type Passes = (airway: string, ident: string) => boolean;

// A leg goes on as it did where its airway passes the point that now stands before it; else it is flown direct.
function joined(leg: HandLeg | undefined, before: string, passes: Passes): HandLeg[] {
  if (!leg) return [];
  return [{ ...leg, via: is_direct(leg.via) || (before !== "" && passes(leg.via, before)) ? leg.via : "DCT" }];
}

/** Puts legs before the one with this index, or behind all of them. */
export function inserted(route: HandRoute, index: number, legs: readonly HandLeg[], passes: Passes): HandRoute {
  const before = route.legs.slice(0, index);
  const last = ident_of(legs.at(-1)?.to ?? "");
  const next = route.legs[index];
  // What is put there may lead to the very point that stands there.
  const behind = next && ident_of(next.to) === last ? route.legs.slice(index + 1) : route.legs.slice(index);
  return { ...route, legs: [...before, ...legs, ...joined(behind[0], last, passes), ...behind.slice(1)] };
}

export function removed(route: HandRoute, index: number, passes: Passes): HandRoute {
  const before = route.legs.slice(0, index);
  const [next, ...behind] = route.legs.slice(index + 1);
  const on = index === 0 ? joined(next, "", () => false) : joined(next, point_before(route, index), passes);
  return { ...route, legs: [...before, ...on, ...behind], star: route.legs.length === 1 ? "" : route.star };
}
