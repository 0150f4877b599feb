import type { NextDocument, NextProcedure } from "../api/generated";
import type { Place } from "../api/pictures";
import type { HandLeg } from "./hand_route";

/** What one click adds to a route. */
export interface Choice {
  readonly legs: readonly HandLeg[];
  /** The approach that is asked for with it, as I27/XOBAN; left as it is where there is none. */
  readonly approach?: string;
  /** The STAR that is put behind the last point. */
  readonly star?: string;
  readonly place: Place;
  /** On the chart. */
  readonly says: string;
}

export const approach_word = (approach: NextProcedure): string => (approach.transition ? `${approach.ident}/${approach.transition}` : approach.ident);

const direct_to = (fix: string, at: string): HandLeg[] => (fix === at ? [] : [{ via: "DCT", to: fix }]);

export const along = (airway: NextDocument["airways"][number], point: NextDocument["airways"][number]["points"][number]): Choice => ({
  legs: [{ via: airway.designator, to: point.ident }],
  place: point.place,
  says: `${airway.designator} ${point.ident}`,
});

export const by_departure = (departure: NextProcedure): Choice => ({
  legs: [{ via: departure.ident, to: departure.fix }],
  place: departure.place,
  says: departure.name,
});

export const by_arrival = (arrival: NextProcedure, at: string): Choice => ({
  legs: direct_to(arrival.fix, at),
  star: arrival.ident,
  place: arrival.place,
  says: arrival.name,
});

export const by_approach = (approach: NextProcedure, at: string): Choice => ({
  legs: direct_to(approach.fix, at),
  approach: approach_word(approach),
  place: approach.place,
  says: approach.name,
});

/** What is marked on the chart: SIDs to their ends, airways to their next point, and where approaches begin, one mark for each place. */
export function marked(next: NextDocument): Choice[] {
  const flyable = (procedures: readonly NextProcedure[]) => procedures.filter((one) => one.why_not === "");
  const airways = next.airways.filter((airway) => !airway.area_navigation_only && airway.points[0] && !airway.points[0].against_one_way);
  const entries = new Map<string, NextProcedure[]>();
  for (const approach of flyable(next.approaches)) entries.set(approach.fix, [...(entries.get(approach.fix) ?? []), approach]);
  return [
    ...flyable(next.departures).map(by_departure),
    ...airways.map((airway) => along(airway, airway.points[0]!)),
    ...[...entries.values()].map((here) => ({ ...by_approach(here[0]!, next.at), says: here.length > 1 ? `${here[0]!.ident} and ${here.length - 1} more` : here[0]!.ident })),
  ];
}
