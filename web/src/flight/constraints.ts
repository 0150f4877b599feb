import type { PlanQuestion } from "../api/service";

/** What may be asked of a flight beside its ends, aircraft, wind and date: one entry is a field of the form, of the service and of the address bar. */
interface Common {
  readonly field: Exclude<keyof PlanQuestion, "from" | "to" | "aircraft" | "wind" | "date" | "choose" | "minima" | "winds_bulletin">;
  /** In the address bar: the option of the command. */
  readonly word: string;
  readonly label: string;
  /** What holds for a flight that is planned and not for a route by hand. */
  readonly of_plan?: true;
}
export type Constraint = Common &
  (
    | { readonly kind: "number"; readonly size: number }
    /** A word; `capitals` where it is an ident. */
    | { readonly kind: "word"; readonly size: number; readonly hint?: string; readonly capitals?: true }
    /** Idents, between blanks or commas. */
    | { readonly kind: "idents"; readonly size: number; readonly hint?: string }
    /** One text that has commas of its own. */
    | { readonly kind: "text"; readonly size: number; readonly hint?: string }
    | { readonly kind: "tick" }
    | { readonly kind: "one_of"; readonly of: readonly (readonly [value: string, says: string])[] }
  );

export interface Group {
  readonly title: string;
  readonly constraints: readonly Constraint[];
}

export const groups: readonly Group[] = [
  {
    title: "Way",
    constraints: [
      { field: "via", word: "via", label: "Via", kind: "idents", size: 12, of_plan: true },
      { field: "avoid", word: "avoid", label: "Avoid", kind: "idents", size: 12 },
      { field: "avoid_airways", word: "avoid-airway", label: "Avoid airways", kind: "idents", size: 9 },
      { field: "avoid_areas", word: "avoid-area", label: "Avoid areas", kind: "idents", size: 12, hint: "XKE/15" },
      { field: "without", word: "without", label: "Out of service", kind: "idents", size: 10 },
      { field: "no_ndb", word: "no-ndb", label: "no NDB", kind: "tick" },
      { field: "no_dead_reckoning", word: "no-dead-reckoning", label: "nothing by heading alone", kind: "tick" },
    ],
  },
  {
    title: "Levels",
    constraints: [
      { field: "altitude_ft", word: "altitude", label: "Cruise, ft", kind: "number", size: 6 },
      { field: "highest_altitude_ft", word: "highest", label: "Not above, ft", kind: "number", size: 6 },
      { field: "minimum_altitude_ft", word: "minimum", label: "Minimum off airways, ft", kind: "number", size: 6 },
      { field: "obstacle_allowance_ft", word: "obstacle-allowance", label: "Allowance for obstacles, ft", kind: "number", size: 6 },
    ],
  },
  {
    title: "Procedures",
    constraints: [
      { field: "departure_runway", word: "runway", label: "Take-off runway", kind: "word", size: 6, hint: "RW25", capitals: true },
      { field: "departure", word: "departure", label: "SID", kind: "word", size: 8, hint: "or own" },
      { field: "arrival", word: "arrival", label: "STAR", kind: "word", size: 8, hint: "or none" },
      { field: "approach", word: "onto-approach", label: "Approach", kind: "word", size: 10, hint: "I27/XOBAN", capitals: true, of_plan: true },
      { field: "landing_runway", word: "landing-runway", label: "Landing runway", kind: "word", size: 6, hint: "RW27", capitals: true },
    ],
  },
  {
    title: "Rules",
    constraints: [
      { field: "criteria", word: "criteria", label: "Tolerances", kind: "one_of", of: [["", "TERPS"], ["pans-ops", "PANS-OPS"]] },
      { field: "reception", word: "reception", label: "Heard by", kind: "one_of", of: [["", "what the atlas has"], ["volume", "service volumes"], ["horizon", "radio horizon"], ["terrain", "terrain"]] },
      { field: "dead_reckoning_nm", word: "dead-reckoning-nm", label: "By heading alone, NM", kind: "number", size: 4 },
      { field: "dead_reckoning_min", word: "dead-reckoning-min", label: "By heading alone, min", kind: "number", size: 4 },
      { field: "survive_any", word: "survive-any", label: "no single failure strands it", kind: "tick", of_plan: true },
      { field: "choices", word: "choices", label: "Flights to offer", kind: "number", size: 2, of_plan: true },
    ],
  },
  {
    title: "Winds",
    constraints: [
      { field: "winds", word: "winds", label: "By level", kind: "text", size: 28, hint: "3000 270/20, 9000 290/35" },
      { field: "winds_station", word: "winds-station", label: "Station of the bulletin", kind: "word", size: 6, capitals: true },
    ],
  },
];

const all = groups.flatMap((group) => group.constraints);

export type Constraints = Partial<Pick<PlanQuestion, Constraint["field"]>>;

/** Of these characters an ident of the trade, an area and a list of them are made. */
const idents_of = (text: string) => text.toUpperCase().split(/[\s,]+/).filter((ident) => /^[A-Z0-9./+-]{1,40}$/.test(ident));

/** What was written for one of them; nothing where it is not understood, or as if it were not asked. */
function value_of(constraint: Constraint, text: string): Constraints[Constraint["field"]] {
  const written = text.trim();
  if (constraint.kind === "tick") return true;
  if (written === "") return undefined;
  switch (constraint.kind) {
    case "number":
      return /^-?\d{1,6}(\.\d{1,3})?$/.test(written) && !(constraint.field === "choices" && written === "1") ? Number(written) : undefined;
    case "word":
      return written.length > 40 ? undefined : constraint.capitals ? written.toUpperCase() : /^(own|none)$/i.test(written) ? written.toLowerCase() : written.toUpperCase();
    case "idents": {
      const idents = idents_of(written);
      return idents.length > 0 ? idents : undefined;
    }
    case "text":
      return written.length > 256 ? undefined : [written];
    case "one_of":
      return constraint.of.some(([value]) => value === written) ? written : undefined;
  }
}

/** Those that are asked, by what stands at each: null where nothing does. */
export function constraints_of(text_at: (constraint: Constraint) => string | null): Constraints {
  const asked: Record<string, unknown> = {};
  for (const constraint of all) {
    const text = text_at(constraint);
    const value = text === null ? undefined : value_of(constraint, text);
    if (value !== undefined) asked[constraint.field] = value;
  }
  return asked as Constraints;
}

/** As it is written; null where it is not asked, empty for a tick. */
export function text_of_constraint(question: Constraints, constraint: Constraint): string | null {
  const value = question[constraint.field];
  if (value === undefined || value === false) return null;
  if (value === true) return "";
  return typeof value === "object" ? value.join(constraint.kind === "text" ? ", " : ",") : String(value);
}

/** Those that are asked with how they are written. */
export function written(question: Constraints): readonly { readonly constraint: Constraint; readonly text: string }[] {
  return all.flatMap((constraint) => {
    const text = text_of_constraint(question, constraint);
    return text === null ? [] : [{ constraint, text }];
  });
}

/** In words, for a sheet of paper; how many flights are offered is no figure of the flight. */
export const constraints_in_words = (question: Constraints): readonly string[] =>
  written(question)
    .filter(({ constraint }) => constraint.field !== "choices")
    .map(({ constraint, text }) => {
      const label = /^[A-Z]{2}/.test(constraint.label) ? constraint.label : constraint.label.charAt(0).toLowerCase() + constraint.label.slice(1);
      const says = constraint.kind === "one_of" ? constraint.of.find(([value]) => value === text)![1] : text.split(/, ?/).join(", ");
      return says === "" ? label : `${label} ${says}`;
    });

/** What a route by hand is asked with: not what makes the planner choose. */
export function of_route(question: PlanQuestion): Omit<PlanQuestion, "via" | "approach" | "choices" | "choose" | "survive_any"> {
  const { choose: _, ...rest } = question;
  const planned = all.filter((constraint) => constraint.of_plan).map((constraint) => constraint.field as string);
  return Object.fromEntries(Object.entries(rest).filter(([field]) => !planned.includes(field))) as unknown as PlanQuestion;
}
